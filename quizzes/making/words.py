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
from quizzes.ragas.said import raga_name
from quizzes.ragas.sounding import plain_line
from quizzes.ragas.words import as_other, full_name, letter_name
from words import say, to_say

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
    words = {
        "note": _note,
        "touch": _touch,
        "run": _run,
        "turn": _turn,
        "required": _required,
    }[against.why]
    said = words(raga, heard, against)
    if against.how == DOUBT:
        return said._replace(text=say("In doubt: {text}", text=said.text))
    return said._replace(text=capital(said.text))


def _note(raga: Raga, heard: Heard, against: Against) -> InWords:
    parts = {"raga": raga_name(raga), "place": at_places((against.of, *against.also))}
    name = full_name(against.letter)
    if against.how != SURE:
        return InWords(
            say("some teach {raga} with {swara} ({place}), others without.", swara=name, **parts)
        )
    forms = [full_name(one) for one in raga.notes.value if one.upper() == against.letter.upper()]
    if forms:
        has = listed(forms)
        text = say("{raga} has {forms}, not {swara} ({place}).", forms=has, swara=name, **parts)
    else:
        name = letter_name(against.letter)
        text = say("{raga} does not touch {swara} ({place}).", swara=name, **parts)
    return _mended(text, raga, heard, against)


def _touch(raga: Raga, heard: Heard, against: Against) -> InWords:
    text = _TOUCHED if against.how == SURE else _TOUCHED_BY_SOME
    place = at_places((against.of, *against.also))
    return InWords(say(text, swara=full_name(against.letter), place=place, raga=raga_name(raga)))


_TOUCHED = to_say("{swara} is touched at {place}; {raga} has none.")
_TOUCHED_BY_SOME = to_say(
    "{swara} is touched at {place}; some teach {raga} with it, others without."
)


def _run(raga: Raga, heard: Heard, against: Against) -> InWords:
    here, to = heard.swaras[against.of], heard.swaras[against.at]
    rises = to.steps > here.steps
    parts = {
        "raga": raga_name(raga),
        "swara": name_beside(against.letter, raga.ever),
        "to": letter_name(to.letter),
        "place": at_place(against.of),
    }
    if against.how == SURE:
        text = say(_LEAVES_OUT_UP if rises else _LEAVES_OUT_DOWN, **parts)
        return _mended(text, raga, heard, against)
    own_way = _own_way(raga, rises=rises)
    if _turns(raga, heard, against):
        run = in_letters(moved(heard.swaras[against.of - 1 : against.at + 1]))
        place = at_place(against.of - 1)
        text = _STRAIGHT_UP if rises else _STRAIGHT_DOWN
        return InWords(say(text, raga=raga_name(raga), run=run, place=place), own_way)
    usually = say(_USUALLY_UP if rises else _USUALLY_DOWN, **parts)
    if against.how == DOUBT:
        return InWords(say("{text}.", text=usually), own_way)
    if "light" in raga.gait.value:
        return InWords(say("{text}, as a light raga may.", text=usually), own_way)
    if is_passed_by_some(raga, against.letter, rises=rises):
        return InWords(say("{text}, as some teach it.", text=usually), own_way)
    return InWords(say("{text}. We have that from memory alone.", text=usually), own_way)


_LEAVES_OUT_UP = to_say(
    "{raga} leaves {swara} out on the way up; here the climb to {to} goes through it ({place})."
)
_LEAVES_OUT_DOWN = to_say(
    "{raga} leaves {swara} out on the way down; here the fall to {to} goes through it ({place})."
)
_STRAIGHT_UP = to_say(
    "it goes straight up in {run} (from {place}); we know no such turn of {raga}, whose aroha is "
    "vakra."
)
_STRAIGHT_DOWN = to_say(
    "it goes straight down in {run} (from {place}); we know no such turn of {raga}, whose avaroha "
    "is vakra."
)
_USUALLY_UP = to_say(
    "{raga} usually leaves {swara} out on the way up; here the climb to {to} goes through it "
    "({place})"
)
_USUALLY_DOWN = to_say(
    "{raga} usually leaves {swara} out on the way down; here the fall to {to} goes through it "
    "({place})"
)


def _turns(raga: Raga, heard: Heard, against: Against) -> bool:
    """Whether a run breaks a way that turns on itself."""
    rises = heard.swaras[against.of].steps < heard.swaras[against.at].steps
    return against.why == "run" and (raga.vakra_up if rises else raga.vakra_down)


def _own_way(raga: Raga, *, rises: bool) -> Line:
    scale = raga.scale.value
    return plain_line(scale.aroha if rises else scale.avaroha)


def _turn(raga: Raga, heard: Heard, against: Against) -> InWords:
    text = say(
        "{raga} does not go {turn} (from {place})",
        raga=raga_name(raga),
        turn=spoken(moved(heard.swaras[against.of : against.at + 1])),
        place=at_place(against.of),
    )
    return InWords(_with_source(text, against))


def _required(raga: Raga, heard: Heard, against: Against) -> InWords:
    turns = [turn for each in raga.required if each.letter == against.letter for turn in each.turns]
    text = say(
        "{raga} has {swara} only in turns such as {turns} ({place})",
        raga=raga_name(raga),
        swara=name_beside(against.letter, raga.ever),
        turns=listed([in_letters(turn) for turn in turns], "or"),
        place=at_places((against.of, *against.also)),
    )
    return InWords(_with_source(text, against), plain_line(turns[0]))


def _with_source(text: str, against: Against) -> str:
    if against.how == DOUBT:
        return say("{text}, as far as our sources tell.", text=text)
    return say("{text}, as far as we know; we have that from memory alone.", text=text)


def _mended(text: str, raga: Raga, heard: Heard, against: Against) -> InWords:
    """With how it could go instead."""
    evidence = Evidence(against.why, raga.id, against.of, against.at)
    line = as_other(evidence, heard.line, raga)
    return InWords(text, line, say("It could go {line}.", line=in_letters(swaras_of(line))))
