"""What is said of keeping tali, by who asks for it and who explains it."""

from __future__ import annotations

from collections.abc import Sequence

from quizzes.names import capital, counted, number_word
from quizzes.talas.tala import Form, Tala
from quizzes.talas.tapping import WINDOW_MS, Asynchrony
from quizzes.talas.wording import matras_told, on_matras
from words import say, say_many


def name_told(tala: Tala) -> str:
    """The name of a skill."""
    return say("{tala}: keep tali", tala=tala.called)


def prompt(tala: Tala, cycles: int) -> str:
    """What is asked where so many cycles are to be tapped."""
    keep = say("Keep tali with {tala}: tap on every clap.", tala=tala.called)
    if tala.khali:
        keep = say_many(
            "Keep tali with {tala}: tap on every clap; do not tap the wave.",
            "Keep tali with {tala}: tap on every clap; do not tap the waves.",
            len(tala.khali),
            tala=tala.called,
        )
    along = say(
        "The theka begins on sam. Hear one cycle, then tap along with {cycles}.",
        cycles=counted(cycles, "{number} cycle", "{number} cycles"),
    )
    return f"{keep} {along}"


def hand_told(form: Form) -> str:
    """`clap on 1, 5 and 13, wave on 9`"""
    if not form.khali:
        return say("clap on {tali}", tali=on_matras(form.tali))
    return say(
        "clap on {tali}, wave on {khali}", tali=on_matras(form.tali), khali=on_matras(form.khali)
    )


def missed_told(missed: Sequence[int]) -> str:
    """On which matras claps had no tap, each as often as that was, as a sentence."""
    matras, count = sorted(set(missed)), len(missed)
    told = {"number": capital(number_word(count)), "matras": matras_told(matras)}
    if count > len(matras) == 1:
        return say("{number} claps had no tap: each time on {matras}.", **told)
    return say_many(
        "{number} clap had no tap: on {matras}.",
        "{number} claps had no tap: on {matras}.",
        count,
        **told,
    )


def timing_told(found: Asynchrony) -> str:
    """How early or late taps came, in whole milliseconds, and how near a clap is met."""
    met = say("A clap is met within {window} ms.", window=WINDOW_MS)
    return f"{_mean(round(found.mean_ms or 0.0), found.sd_ms)} {met}"


def _mean(mean: int, spread: float | None) -> str:
    if not mean:
        side = say("neither early nor late")
    elif mean < 0:
        side = say("{count} ms early", count=-mean)
    else:
        side = say("{count} ms late", count=mean)
    if spread is None:
        return say("On average your taps came {side}.", side=side)
    return say(
        "On average your taps came {side}, give or take {spread} ms.",
        side=side,
        spread=f"{spread:.0f}",
    )
