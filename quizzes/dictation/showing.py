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

LEFT_OUT, ADDED = "left out", "too many"
"""What is wrong with a place where one of the lines has nothing."""

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
            was=written(was, counts),
            given=written(answered, counts),
            wrong=_wrong(was, answered, words),
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
        told = f"Of what you wrote, {swara_name(answered.swara)} in place {number} is too much"
    elif answered is None:
        told = f"Swara {number}, {swara_name(was.swara)}, is missing"
    else:
        told = _differs(number, was, answered, words)
    return f"{told}.{_more(len(slips))}"


def _displaced(rows: Sequence[Row]) -> str:
    """`It was a saptak lower than you wrote it.`; "" where not all of it was."""
    if any(words != (SAPTAK,) for _, _, words in rows):
        return ""
    lifts = {was.swara.octave - gave.swara.octave for was, gave, _ in rows if was and gave}
    if len(lifts) != 1:
        return ""
    (lift,) = lifts
    by = "a saptak" if abs(lift) == 1 else counted(abs(lift), "saptak")
    return f"It was {by} {'higher' if lift > 0 else 'lower'} than you wrote it."


def _numbered(rows: Sequence[Row]) -> Iterator[tuple[int, Row]]:
    """Each row with its place in the right line; what is too many with its place in the other."""
    at = to = 0
    for row in rows:
        at, to = at + (row[0] is not None), to + (row[1] is not None)
        yield (at if row[0] is not None else to), row


def _more(slips: int) -> str:
    return f" That is the first of {counted(slips, 'slip')}." if slips > 1 else ""


def _differs(number: int, was: Place, answered: Place, words: Sequence[str]) -> str:
    told = []
    if SWARA in words or SAPTAK in words:
        told.append(f"was {swara_name(was.swara)}; you wrote {swara_name(answered.swara)}")
    if LENGTH in words:
        told.append(_time_of(was, answered))
    if ORNAMENT in words:
        told.append(f"{hand_of(was)}; you wrote {hand_of(answered, given=True)}")
    name = "" if SWARA in words or SAPTAK in words else f", {swara_name(was.swara)},"
    return f"Swara {number}{name} {_joined(told)}"


def _joined(told: Sequence[str]) -> str:
    return ". It ".join(told)


def _time_of(was: Place, answered: Place) -> str:
    if was.before != answered.before:
        return f"begins after {_lasts(was.before)} of silence; you wrote {_lasts(answered.before)}"
    if was.held != answered.held:
        return f"lasts {_lasts(was.held)}; you wrote {_lasts(answered.held)}"
    if was.span != answered.span:
        rest, other = was.span - was.held, answered.span - answered.held
        return f"is followed by {_lasts(rest)} of rest; you wrote {_lasts(other)}"
    return "has its chikari elsewhere"


def _lasts(matras: object) -> str:
    """`1 matra`, `1/2 matra`, `3/2 matras`."""
    text = str(matras)
    return f"{text} matra{'' if text in ('1', '1/2', '1/3', '2/3', '1/4', '3/4') else 's'}"


_WAYS = {"meend": "a meend", "ghaseet": "a ghaseet", "fingers": "the fingers on one stroke"}


def hand_of(place: Place, *, given: bool = False) -> str:
    """`is come to by a meend`, `has a gamak`, `is plain`; shorter where it was `given`."""
    way, touches, sway, shaken = place.hand
    found = []
    if way:
        found.append(f"{_WAYS[way]} to it")
    if touches:
        word = "a kan" if len(touches) == 1 else "a murki"
        found.append(f"{word} of {listed([swara_name(each) for each in touches])}")
    if sway:
        found.append(f"{'an' if sway == 'andolan' else 'a'} {sway}")
    if shaken is not None:
        found.append(f"a zamzama with {swara_name(shaken)}")
    if not found:
        return "it plain" if given else "is plain"
    return listed(found) if given else f"has {listed(found)}"
