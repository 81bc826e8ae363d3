"""The error in its place: two lines beside each other in writing, in words and to be heard."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from audio.line import CHIKARI, REST, Beat, Line, Tone
from audio.sargam import write
from audio.score import Score
from quizzes.dictation.marking import Row
from quizzes.dictation.places import LENGTH, ORNAMENT, SAPTAK, SWARA, Place
from quizzes.explanation import Beside
from quizzes.names import counted, listed, swara_name
from words import in_script, say, say_as, say_many, to_say

LEFT_OUT, ADDED = "left out", "too many"
"""What is wrong with a place where one of the lines has nothing."""
_SAID = {
    SWARA: to_say("swara"),
    SAPTAK: to_say("saptak"),
    LENGTH: to_say("length"),
    ORNAMENT: to_say("ornament"),
    LEFT_OUT: to_say("left out"),
    ADDED: to_say("too many"),
}

Played = Callable[[Line], Score]
"""How a line of the question is played."""


def beside_of(
    right: Sequence[Place],
    given: Sequence[Place],
    rows: Sequence[Row],
    counts: Sequence[str],
    played: Played,
) -> tuple[Beside, ...]:
    """The two lines place by place; each place can be heard, a joined one with the swara from which
    it is joined."""
    before_right, before_given = _before(right), _before(given)
    return tuple(
        Beside(
            was=in_script(written(was, counts)),
            given=in_script(written(answered, counts)),
            wrong=tuple(say(_SAID[word]) for word in _wrong(was, answered, words)),
            was_cue=None if was is None else played(_alone(was, before_right[id(was)])),
            given_cue=None
            if answered is None
            else played(_alone(answered, before_given[id(answered)])),
        )
        for was, answered, words in rows
    )


def _before(places: Sequence[Place]) -> dict[int, Place | None]:
    """The place before each."""
    pairs = zip(places, (None, *places[:-1]), strict=True)
    return {id(place): before for place, before in pairs}


def _wrong(was: Place | None, answered: Place | None, words: tuple[str, ...]) -> tuple[str, ...]:
    if was is None:
        return (ADDED,)
    return (LEFT_OUT,) if answered is None else words


def written(place: Place | None, counts: Sequence[str]) -> str:
    """A place in writing, such as `R`, `/m` or `G:2`; "" for none."""
    if place is None:
        return ""
    text = write(Line((Beat((_shown(place.tone, counts),)),)))
    if ORNAMENT in counts:
        text = place.tone.by + text
    if LENGTH not in counts:
        return text
    before = f"{REST}{_matras(place.before)} " if place.before else ""
    rest = "" if place.held == place.span or place.is_last else f" {REST}"
    return f"{before}{text}{CHIKARI * len(place.chikari)}{_matras(place.held)}{rest}"


def _matras(matras: object) -> str:
    return "" if matras == 1 else f":{matras}"


def _shown(tone: Tone, counts: Sequence[str]) -> Tone:
    """As much of a tone as counts; what leads to it stands before it."""
    return replace(tone, by="", loud=0, tone=0) if ORNAMENT in counts else Tone(tone.swara)


def _alone(place: Place, before: Place | None) -> Line:
    here = Beat((place.tone,), place.held)
    if before is None or not place.tone.by:
        return Line((here,))
    return Line((Beat((Tone(before.swara),)), here))


def why_of(rows: Sequence[Row], counts: Sequence[str]) -> str:
    """The first slip in words, or that all of it was displaced alike; "" where there is none, or
    where nothing is right, as is seen."""
    if moved := _displaced(rows):
        return moved
    slips = [
        (number, row)
        for number, row in _numbered(rows)
        if row[0] is None or row[1] is None or row[2]
    ]
    if not slips or len(slips) == len(rows) > 1:
        return ""
    number, (was, answered, words) = slips[0]
    if was is None:
        assert answered is not None  # one of the two always is there
        name = swara_name(answered.swara)
        told = say(
            "Of what you wrote, {swara} in place {number} is too much.", swara=name, number=number
        )
    elif answered is None:
        told = say("{which} is missing.", which=_which(number, was))
    else:
        told = _differs(number, was, answered, words)
    if len(slips) == 1:
        return told
    count = counted(len(slips), "{number} slip", "{number} slips")
    return f"{told} {say('That is the first of {slips}.', slips=count)}"


def _which(number: int, place: Place) -> str:
    """`Swara 3, Ga,`, at the beginning of a sentence."""
    return say("Swara {number}, {swara},", number=number, swara=swara_name(place.swara))


def _displaced(rows: Sequence[Row]) -> str:
    """`It was a saptak lower than you wrote it.`; "" where not all of it was."""
    if any(words != (SAPTAK,) for _, _, words in rows):
        return ""
    lifts = {was.swara.octave - gave.swara.octave for was, gave, _ in rows if was and gave}
    if len(lifts) != 1:
        return ""
    (lift,) = lifts
    if abs(lift) == 1:
        if lift > 0:
            return say("It was a saptak higher than you wrote it.")
        return say("It was a saptak lower than you wrote it.")
    saptaks = counted(abs(lift), "{number} saptak", "{number} saptaks")
    if lift > 0:
        return say("It was {saptaks} higher than you wrote it.", saptaks=saptaks)
    return say("It was {saptaks} lower than you wrote it.", saptaks=saptaks)


def _numbered(rows: Sequence[Row]) -> Iterator[tuple[int, Row]]:
    """Each row with its place in the right line; what is too many with its place in the other."""
    at = to = 0
    for row in rows:
        at, to = at + (row[0] is not None), to + (row[1] is not None)
        yield (at if row[0] is not None else to), row


def _differs(number: int, was: Place, answered: Place, words: Sequence[str]) -> str:
    """A sentence for each thing in which they differ."""
    told = []
    if SWARA in words or SAPTAK in words:
        names = swara_name(was.swara), swara_name(answered.swara)
        told.append(
            say(
                "Swara {number} was {was}; you wrote {given}.",
                number=number,
                was=names[0],
                given=names[1],
            )
        )
    if LENGTH in words:
        told.append(_time_of(_it(told, number, was), was, answered))
    if ORNAMENT in words:
        told.append(_hand_of(_it(told, number, was), was, answered))
    return " ".join(told)


def _it(told: Sequence[str], number: int, place: Place) -> str:
    """What a sentence is about: named in the first one."""
    return say_as("a swara", "It") if told else _which(number, place)


def _time_of(which: str, was: Place, answered: Place) -> str:
    if was.before != answered.before:
        text, right, given = _BEGINS, was.before, answered.before
    elif was.held != answered.held:
        text, right, given = _LASTS, was.held, answered.held
    elif was.span != answered.span:
        text, right, given = _RESTS, was.span - was.held, answered.span - answered.held
    else:
        return say("{which} has its chikari elsewhere.", which=which)
    return say(text, which=which, was=_lasts(right), given=_lasts(given))


_BEGINS = to_say("{which} begins after {was} of silence; you wrote {given}.")
_LASTS = to_say("{which} lasts {was}; you wrote {given}.")
_RESTS = to_say("{which} is followed by {was} of rest; you wrote {given}.")


def _lasts(matras: object) -> str:
    """`1 matra`, `1/2 matra`, `3/2 matras`."""
    text = str(matras)
    count = 1 if text in ("1", "1/2", "1/3", "2/3", "1/4", "3/4") else 2
    return say_many("{matras} matra", "{matras} matras", count, matras=text)


def _hand_of(which: str, was: Place, answered: Place) -> str:
    hand, given = hand_of(was), hand_of(answered)
    if not hand:
        return say("{which} is plain; you wrote {given}.", which=which, given=given)
    if not given:
        return say("{which} has {hand}; you wrote it plain.", which=which, hand=hand)
    return say("{which} has {hand}; you wrote {given}.", which=which, hand=hand, given=given)


_WAYS = {
    "meend": to_say("a meend to it"),
    "ghaseet": to_say("a ghaseet to it"),
    "fingers": to_say("the fingers on one stroke to it"),
}
_SWAYS = {"gamak": to_say("a gamak"), "andolan": to_say("an andolan")}


def hand_of(place: Place) -> str:
    """`a meend to it and a gamak`; "" where the hand only presses."""
    way, touches, sway, shaken = place.hand
    found = []
    if way:
        found.append(say(_WAYS[way]))
    if touches:
        touched = listed([swara_name(each) for each in touches])
        if len(touches) == 1:
            found.append(say("a kan of {swara}", swara=touched))
        else:
            found.append(say("a murki of {swaras}", swaras=touched))
    if sway:
        found.append(say(_SWAYS[sway]))
    if shaken is not None:
        found.append(say("a zamzama with {swara}", swara=swara_name(shaken)))
    return listed(found)
