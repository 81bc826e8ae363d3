"""What `shade` says of a swara and its treatments."""

from __future__ import annotations

from quizzes.kinds.shade_sound import Treated
from quizzes.names import capital, listed, swara_name
from quizzes.shades import Pair, Shaded, shades
from words import say, to_say

LABELS = {
    "still": to_say("Held still"),
    "swung": to_say("Swung slowly about its place"),
    "low": to_say("Drawn up from below, then low and swung"),
    "above": to_say("Drawn down from above, then held still"),
}

_MOVES = {
    "still": to_say("is held still"),
    "swung": to_say("swings slowly about its place"),
    "low": to_say("is drawn up from {below} and swings low, under its place"),
    "above": to_say("is drawn down from {above} and then held still"),
}
"""What the swara does, as a sentence goes on after its name."""


def moves_of(how: str, treated: Treated) -> str:
    """What the swara does under a treatment: `is held still`."""
    below, above = swara_name(treated.below), swara_name(treated.above)
    return say(_MOVES[how], below=below, above=above)


def why_swara(of: Shaded, treated: Treated, right: str, given: str) -> str:
    """How the swara is treated and in which ragas; after another answer, in which it is so."""
    why = say(
        to_say("{swara} {moves}, as many teach it in {ragas}.")
        if _from_memory(of, right)
        else to_say("{swara} {moves}, as in {ragas}."),
        swara=capital(swara_name(treated.swara)),
        moves=moves_of(right, treated),
        ragas=_ragas(of, treated, right),
    )
    told = [why]
    if given != right:
        other = (
            to_say("Many teach that in {ragas} it {moves}.")
            if _from_memory(of, given)
            else _IN_RAGAS
        )
        moves = moves_of(given, treated)
        told.append(say(other, ragas=_ragas(of, treated, given), moves=moves))
    if "low" in (right, given):
        told.append(say("How low it lies and how wide it swings differ from teacher to teacher."))
    elif "swung" in (right, given):
        told.append(say("How wide it swings differs from teacher to teacher."))
    return " ".join(told)


_IN_RAGAS = to_say("In {ragas} it {moves}.")


def _from_memory(of: Shaded, how: str) -> bool:
    return of.treatments[how].confidence == "C"


def _ragas(of: Shaded, treated: Treated, how: str) -> str:
    """Those that treat the swara so and hold all that is heard; the data give one at the least."""
    swaras = [*treated.phrase.around, treated.swara]
    swaras += {"low": [treated.below], "above": [treated.above]}.get(how, [])
    letters, notes = {swara.letter for swara in swaras}, shades().notes
    return listed([say(raga) for raga in of.treatments[how].ragas if letters <= notes[raga]])


def why_pair(of: Pair, treated: Treated, right: str) -> str:
    """Which of two ragas it is, and what the swara does in the other."""
    moves = {how: moves_of(how, treated) for how in ("still", "swung")}
    if treated.touch is not None:
        touch = swara_name(treated.touch)
        moves["swung"] = say("is touched by {touch} and {moves}", touch=touch, moves=moves["swung"])
    ragas = {"still": say(of.still), "swung": say(of.swung)}
    other = "still" if right == "swung" else "swung"
    why = say(
        "{swara} {moves}: {raga}.",
        swara=capital(swara_name(treated.swara)),
        moves=moves[right],
        raga=ragas[right],
    )
    return f"{why} {say(_IN_RAGAS, ragas=ragas[other], moves=moves[other])}"


def name_of_swara(shaded: Shaded) -> str:
    """`how komal Re is treated`."""
    return say("how {swara} is treated", swara=swara_name(shaded.swara))


def name_of_pair(pair: Pair) -> str:
    """`Bhairav or Kalingada by one swara's swing`."""
    return say(
        "{swung} or {still} by one swara's swing", swung=say(pair.swung), still=say(pair.still)
    )
