"""What varies in a phrase that is to be varied, and how, each in a sentence."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from quizzes.dictation.places import Place
from quizzes.making.comparing import TREATMENTS_SAID
from quizzes.making.phrases import at_place
from quizzes.names import capital, listed, swaras_counted
from words import say, say_many, to_say


def others_vary(others: Sequence[str], treatment: str, *, too: bool) -> str:
    """`The tone varies, too; the timing alone was to vary.`"""
    parts = {"others": capital(listed(others)), "treatment": treatment}
    if too:
        return say_many(
            "{others} varies, too; {treatment} alone was to vary.",
            "{others} vary, too; {treatment} alone was to vary.",
            len(others),
            **parts,
        )
    return say_many(
        "{others} varies; {treatment} alone was to vary.",
        "{others} vary; {treatment} alone was to vary.",
        len(others),
        **parts,
    )


def varies_too_little(treatment: str, places: Sequence[int], *, wished: int, rings: bool) -> str:
    """Of what varies at these places, fewer than are wished; whether the last swara `rings` longer
    or shorter, which does not count."""
    parts = {
        "treatment": capital(say(TREATMENTS_SAID[treatment])),
        "swaras": swaras_counted(wished),
    }
    if places:
        place = at_place(places[0])
        told = say(
            "{treatment} varies only at {place}; {swaras} were wished.", place=place, **parts
        )
    else:
        told = say("{treatment} varies nowhere; {swaras} were wished.", **parts)
    if rings:
        told += " " + say("How long the last one rings does not count.")
    return told


def how_it_varies(treatment: str, was: Place, now: Place, place: int) -> str:
    """`the second swara is twice as long`."""
    return say(_how_varied(treatment, was, now), place=at_place(place))


def _how_varied(treatment: str, was: Place, now: Place) -> str:
    """To be said of a place."""
    if treatment == "timing":
        if was.held == now.held:
            return to_say("a rest follows {place}")
        return _times(now.held / was.held)
    if treatment == "loudness":
        is_more = now.tone.loud > was.tone.loud
        return to_say("{place} is stronger") if is_more else to_say("{place} is softer")
    if treatment == "tone":
        is_more = now.tone.tone > was.tone.tone
        return to_say("{place} is brighter") if is_more else to_say("{place} is rounder")
    return to_say("{place} is played otherwise")


def _times(ratio: Fraction) -> str:
    if ratio == 2:
        return to_say("{place} is twice as long")
    if ratio == Fraction(1, 2):
        return to_say("{place} is half as long")
    return to_say("{place} is longer") if ratio > 1 else to_say("{place} is shorter")
