"""What speaks against a phrase, in words: which swara, at which place, what the raga does instead,
and how that sounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from audio.line import Line
from quizzes.making.phrases import Heard, at_place, at_places, moved, spoken
from quizzes.making.trying import DOUBT, FREE, QUIET, SURE, Against, is_passed_by_some
from quizzes.names import capital, in_letters, listed
from quizzes.ragas.evidence import Evidence, swaras_of
from quizzes.ragas.raga import Raga
from quizzes.ragas.resting import name_beside
from quizzes.ragas.sounding import plain_line
from quizzes.ragas.words import as_other, full_name, letter_name

RANKS = (SURE, DOUBT, FREE)


class InWords(NamedTuple):
    """A sentence or two, what can be heard with it, if anything, and how the phrase could go
    instead, which may be said of several things."""

    text: str
    hear: Line | None = None
    mend: str = ""


def worth_telling(raga: Raga, heard: Heard, against: Sequence[Against]) -> list[Against]:
    """What is told of all that speaks against a phrase, the surest first: not what decides nothing
    where something surer is said of the same swaras; a swara that is foreign once, with all its
    places; and a run through several swaras of a way that turns as a whole."""
    told: list[Against] = []
    worth = [each for each in against if each.how != QUIET]
    for each in sorted(worth, key=lambda each: (RANKS.index(each.how), each.at)):
        foreign = {one.of for one in told if one.why == "note" and one.how == SURE}
        if each.how != SURE and not foreign.isdisjoint(range(each.of - 1, each.at + 1)):
            continue  # it is nothing by itself
        alike = [at for at, one in enumerate(told) if _is_the_same(one, each)]
        if alike:
            told[alike[0]] = replace(told[alike[0]], also=(*told[alike[0]].also, each.of))
            continue
        beside = [one for one in told if one.of <= each.at and each.of <= one.at]
        if each.how == FREE and any((one.how, one.why) != (FREE, each.why) for one in beside):
            continue
        if each.how == DOUBT and any(one.how == SURE for one in beside):
            continue
        last = told[-1] if told else None
        goes_on = last is not None and each == replace(
            last, of=last.at, at=each.at, letter=each.letter
        )
        if last is not None and goes_on and each.how == DOUBT and _turns(raga, heard, each):
            told[-1] = replace(last, at=each.at)
        else:
            told.append(each)
    return told


def _is_the_same(one: Against, other: Against) -> bool:
    kind = one.why, one.letter, one.how
    return one.why in ("note", "touch", "required") and kind == (other.why, other.letter, other.how)


def against_in_words(raga: Raga, heard: Heard, against: Against) -> InWords:
    """One thing that speaks against a phrase."""
    say = {
        "note": _note,
        "touch": _touch,
        "run": _run,
        "turn": _turn,
        "required": _required,
    }[against.why]
    said = say(raga, heard, against)
    text = f"In doubt: {said.text}" if against.how == DOUBT else capital(said.text)
    return said._replace(text=text)


def _note(raga: Raga, heard: Heard, against: Against) -> InWords:
    place = at_places((against.of, *against.also))
    if against.how != SURE:
        name = full_name(against.letter)
        return InWords(f"some teach {raga.name} with {name} ({place}), others without.")
    forms = [full_name(one) for one in raga.notes.value if one.upper() == against.letter.upper()]
    if forms:
        wrong = full_name(against.letter)
        text = f"{raga.name} has {listed(forms)}, not {wrong} ({place})."
    else:
        text = f"{raga.name} does not touch {letter_name(against.letter)} ({place})."
    return _mended(text, raga, heard, against)


def _touch(raga: Raga, heard: Heard, against: Against) -> InWords:
    name, place = full_name(against.letter), at_places((against.of, *against.also))
    if against.how != SURE:
        return InWords(
            f"{name} is touched at {place}; some teach {raga.name} with it, others without."
        )
    return InWords(f"{name} is touched at {place}; {raga.name} has none.")


def _run(raga: Raga, heard: Heard, against: Against) -> InWords:
    here, to = heard.swaras[against.of], heard.swaras[against.at]
    rises = to.steps > here.steps
    way, move, named = ("up", "climb", "aroha") if rises else ("down", "fall", "avaroha")
    name, place = name_beside(against.letter, raga.ever), at_place(against.of)
    passes = f"here the {move} to {letter_name(to.letter)} goes through it ({place})"
    if against.how == SURE:
        text = f"{raga.name} leaves {name} out on the way {way}; {passes}."
        return _mended(text, raga, heard, against)
    if _turns(raga, heard, against):
        run = in_letters(moved(heard.swaras[against.of - 1 : against.at + 1]))
        text = f"it goes straight {way} in {run} (from {at_place(against.of - 1)}); we know no "
        text += f"such turn of {raga.name}, whose {named} is vakra."
        return InWords(text, _own_way(raga, rises=rises))
    usually = f"{raga.name} usually leaves {name} out on the way {way}; {passes}"
    if against.how == DOUBT:
        return InWords(f"{usually}.", _own_way(raga, rises=rises))
    if "light" in raga.gait.value:
        return InWords(f"{usually}, as a light raga may.", _own_way(raga, rises=rises))
    if is_passed_by_some(raga, against.letter, rises=rises):
        return InWords(f"{usually}, as some teach it.", _own_way(raga, rises=rises))
    return InWords(f"{usually}. We have that from memory alone.", _own_way(raga, rises=rises))


def _turns(raga: Raga, heard: Heard, against: Against) -> bool:
    """Whether a run breaks a way that turns on itself."""
    rises = heard.swaras[against.of].steps < heard.swaras[against.at].steps
    return against.why == "run" and (raga.vakra_up if rises else raga.vakra_down)


def _own_way(raga: Raga, *, rises: bool) -> Line:
    scale = raga.scale.value
    return plain_line(scale.aroha if rises else scale.avaroha)


def _turn(raga: Raga, heard: Heard, against: Against) -> InWords:
    turn = spoken(moved(heard.swaras[against.of : against.at + 1]))
    text = f"{raga.name} does not go {turn} (from {at_place(against.of)})"
    return InWords(_with_source(text, against))


def _required(raga: Raga, heard: Heard, against: Against) -> InWords:
    turns = [turn for each in raga.required if each.letter == against.letter for turn in each.turns]
    name = name_beside(against.letter, raga.ever)
    place = at_places((against.of, *against.also))
    told = listed([in_letters(turn) for turn in turns], "or")
    text = f"{raga.name} has {name} only in turns such as {told} ({place})"
    return InWords(_with_source(text, against), plain_line(turns[0]))


def _with_source(text: str, against: Against) -> str:
    if against.how == DOUBT:
        return f"{text}, as far as our sources tell."
    return f"{text}, as far as we know; we have that from memory alone."


def _mended(text: str, raga: Raga, heard: Heard, against: Against) -> InWords:
    """With how it could go instead."""
    evidence = Evidence(against.why, raga.id, against.of, against.at)
    line = as_other(evidence, heard.line, raga)
    return InWords(text, line, f"It could go {in_letters(swaras_of(line))}.")
