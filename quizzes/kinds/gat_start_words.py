"""What is said of a gat over its theka: the question, where it begins, and what falls on sam."""

from __future__ import annotations

from dataclasses import replace

from audio.errors import BolError
from audio.mizrab import Gat
from quizzes.bols import mizrab_bols
from quizzes.kinds.gat_start_sound import Asked
from quizzes.names import capital, ordinal
from quizzes.talas.cycle import matra_at
from quizzes.talas.wording import on_matras
from words import say

STROKE, FOUND = "stroke", "found"
"""What is asked of any gat: where one of its strokes falls, where it begins in any place."""
STRONG = "da"
"""The stronger of the two strokes (common practice)."""


def bol_of(gat: Gat, bol: int) -> str:
    """`ra`, in the letters in use."""
    return mizrab_bols(gat.bols.split()[bol])


def prompt(asked: Asked, sort: str) -> str:
    tala = asked.tala.called
    if sort == FOUND:
        return say(
            "{tala} from somewhere in its cycle, and a gat over it. "
            "On which matra does the gat begin?",
            tala=tala,
        )
    matra, gat = matra_at(asked.cue.from_place), say(asked.gat.name)
    if matra == 1:
        over = say("{tala} from sam, and over it a {gat} gat", tala=tala, gat=gat)
    else:
        over = say(
            "{tala} from matra {matra}, and over it a {gat} gat", tala=tala, matra=matra, gat=gat
        )
    if sort == STROKE:
        return say(
            "{over}: {bols}. On which matra does the {place} bol, {bol}, first fall?",
            over=over,
            bols=mizrab_bols(asked.gat.bols),
            **_bol_told(asked.gat, asked.bol),
        )
    return say("{over}. On which matra does the gat begin?", over=over)


def about(asked: Asked, sort: str) -> str:
    gat, tala = asked.gat, asked.tala
    told = say(
        "{gat}, {line}, is {bols}.",
        gat=capital(say(gat.name)),
        line=say(gat.about),
        bols=mizrab_bols(gat.bols),
    )
    if sort == FOUND:
        anywhere = say("It may begin anywhere now: find sam by the theka, and count on from there.")
        return f"{told} {anywhere}"
    usual = say(
        "Mostly it begins on matra {matra} of {tala}", matra=gat.from_matra, tala=tala.called
    )
    if _is_strong(gat, tala.matras):
        usual = say("{begins}, so that {bol} falls on sam", begins=usual, bol=mizrab_bols(STRONG))
    if gat.also_from:
        usual = say(
            "{begins}; now and then it begins on {matras}",
            begins=usual,
            matras=on_matras(gat.also_from, "or"),
        )
    return f"{told} {say('{begins}.', begins=usual)}"


def here(asked: Asked) -> str:
    """Where it begins, and where the asked bol falls, unless it is the first."""
    matra = matra_at(asked.start)
    if not asked.bol:
        return say("Here it begins on matra {matra}.", matra=matra)
    return say(
        "Here it begins on matra {matra}, so its {place} bol, {bol}, first falls on matra {falls}.",
        matra=matra,
        falls=asked.right,
        **_bol_told(asked.gat, asked.bol),
    )


def _bol_told(gat: Gat, bol: int) -> dict[str, str]:
    """For a message: `place`, as fifth, and `bol`."""
    return {"place": ordinal(bol), "bol": bol_of(gat, bol)}


def why(asked: Asked, sort: str) -> str:
    gat, begins, cycle = asked.gat, matra_at(asked.start), asked.tala.matras
    if sort == STROKE:
        return say(
            "The gat begins on matra {matra}, so its {place} bol, {bol}, first falls on matra "
            "{falls}.",
            matra=begins,
            falls=asked.right,
            **_bol_told(gat, asked.bol),
        )
    bol, strong = _on_sam(gat, begins, cycle), sort != FOUND and _is_strong(gat, cycle)
    if strong and bol is not None and begins == gat.from_matra:
        return say(
            "It begins on matra {matra}, the usual one, so that its {place} bol, {bol}, the "
            "stronger stroke, falls on sam.",
            matra=begins,
            **_bol_told(gat, bol),
        )
    told = f"{say('It begins on matra {matra}.', matra=begins)} {_on_sam_told(gat, bol)}"
    if sort == FOUND or begins == gat.from_matra:
        return told
    return f"{told} {_mostly(gat, strong=strong)}"


def _mostly(gat: Gat, *, strong: bool) -> str:
    """Where it begins as a rule, and what that is good for."""
    if not strong:
        return say("Mostly it begins on matra {matra}.", matra=gat.from_matra)
    return say(
        "Mostly it begins on matra {matra}, so that {bol}, the stronger stroke, falls on sam.",
        matra=gat.from_matra,
        bol=mizrab_bols(STRONG),
    )


def why_not(other: Asked, sort: str) -> str:
    begins = matra_at(other.start)
    if sort == STROKE:
        return say(
            "To fall on matra {falls} the gat would have to begin on matra {matra}.",
            falls=other.right,
            matra=begins,
        )
    bol = _on_sam(other.gat, begins, other.tala.matras)
    if bol is None:
        return say("Begun on matra {matra}, no bol would begin on sam.", matra=begins)
    return say(
        "Begun on matra {matra}, its {place} bol, {bol}, would fall on sam.",
        matra=begins,
        **_bol_told(other.gat, bol),
    )


def _on_sam_told(gat: Gat, bol: int | None) -> str:
    if bol is None:
        return say("No bol begins on sam.")
    return say("Its {place} bol, {bol}, falls on sam.", **_bol_told(gat, bol))


def _is_strong(gat: Gat, cycle: int) -> bool:
    """Whether its strong stroke falls on sam where it is begun as usual."""
    bol = _on_sam(gat, gat.from_matra, cycle)
    return bol is not None and gat.bols.split()[bol] == STRONG


def _on_sam(gat: Gat, begins: int, cycle: int) -> int | None:
    """Which of its bols, from 0, falls on sam where it begins on this matra."""
    try:
        return replace(gat, from_matra=begins).on_sam(cycle) - 1
    except BolError:
        return None
