"""What a raga says of a phrase that a student made: each thing by itself, with the swara and the
place named, and no more than is known.

First what it forbids and what is in doubt, then what it welcomes, then where the phrase rests and
which other ragas could play it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from audio.line import Line
from audio.tuning import SWARAS, Swara
from quizzes.making.likeness import (
    PHRASE,
    UP,
    Stretch,
    held_phrases,
    lies_in,
    stretches,
)
from quizzes.making.phrases import Heard, at_place, moved, spoken
from quizzes.making.resembling import Resembles, resembles
from quizzes.making.resting import led_on, rests_in
from quizzes.making.trying import DOUBT, SURE, Tried, is_taught_step
from quizzes.making.words import against_in_words, worth_telling
from quizzes.names import capital, counted, in_letters, listed, swara_name
from quizzes.ragas.evidence import REST_MATRAS
from quizzes.ragas.raga import Raga
from quizzes.ragas.resting import full_name, never_rests, standing_of
from quizzes.ragas.sounding import SWUNG_MATRAS, plain_line
from quizzes.ragas.words import letter_name, most_alike

RIGHT, OTHERWISE, TOLD = "right", "otherwise", ""
STEPS_NAMED = 3
ENOUGH = 5
"""A phrase of so many swaras could hold one of the raga's, and let its vadi be heard."""
PHRASES_NAMED = 2
A_THIRD, A_FIFTH = 4, 7
FEWEST_ALIKE = 3
"""Of so many swaras at least it is told who else could play them."""


@dataclass(frozen=True, slots=True)
class Said:
    """One thing said: RIGHT where the raga welcomes it, OTHERWISE where it surely does not, TOLD
    where it is only told; and what can be heard of it."""

    text: str
    mark: str = TOLD
    hear: Line | None = None
    doubts: bool = False
    """Whether it leaves in doubt that the raga is kept."""


def opinion(
    raga: Raga,
    heard: Heard,
    found: Tried,
    known: Mapping[str, Raga],
    *,
    end_is_told: bool = False,
    apart: str = "",
) -> tuple[Said, ...]:
    """All that this raga says of the line that was `tried` by it; `known` are all ragas. Where it
    rests as it should may be told already, and whether it is `apart` from the raga of this id."""
    alike = resembles(raga, heard, found, known)
    return (
        *_forbids(raga, heard, found),
        *_steps(raga, heard, found),
        *_welcomes(raga, heard, found),
        *_rests(raga, heard, alike.rests, end_is_told),
        *_resembles(alike, found, apart),
    )


def _forbids(raga: Raga, heard: Heard, found: Tried) -> Iterator[Said]:
    mends: set[str] = set()
    for each in worth_telling(raga, heard, found.against):
        text, hear, mend = against_in_words(raga, heard, each)
        if mend and mend not in mends:
            text += f" {mend}"
        mends.add(mend)
        yield Said(text, OTHERWISE if each.how == SURE else TOLD, hear, each.how == DOUBT)


def _steps(raga: Raga, heard: Heard, found: Tried) -> Iterator[Said]:
    if found.is_welcome and len(moved(heard.swaras)) > 1:
        yield Said(f"Every step in it is one that {raga.name} takes.", RIGHT)
    faulty = {place for each in found.against for place in (each.of, each.of + 1, each.at)}
    new = [place for place in found.steps if place not in faulty]
    new = [place for place in new if not is_taught_step(raga, heard, place)]
    if new:
        known = f"not among the steps that we have written down of {raga.name}"
        it = "it" if len(new) == 1 else "them"
        yield Said(f"{_steps_at(heard, new)} {known}; nothing speaks against {it}.")


def _steps_at(heard: Heard, places: Sequence[int]) -> str:
    """`Ni to komal Re (the third swara) is`."""
    steps = listed([_step(heard.swaras, place) for place in places[:STEPS_NAMED]])
    more = len(places) - STEPS_NAMED
    steps += f", with {counted(more, 'other')}," if more > 0 else ""
    return f"{capital(steps)} {'is' if len(places) == 1 else 'are'}"


def _step(swaras: Sequence[Swara], place: int) -> str:
    one, other = swaras[place - 1 : place + 1]
    away = other.steps - one.steps
    if abs(away) <= A_FIFTH:
        return f"{spoken((one, other))} ({at_place(place)})"
    leap = f"{swara_name(one)} {'up' if away > 0 else 'down'} to {swara_name(other)}"
    # Who forgets the sign of a saptak leaps nearly an octave.
    toward = replace(other, octave=other.octave + (-1 if away > 0 else 1))
    meant = toward if place > 1 else replace(one, octave=one.octave + (1 if away > 0 else -1))
    near = abs(abs(away) - len(SWARAS)) <= A_THIRD
    hint = f"; was {swara_name(meant)} meant?" if near else ""
    return f"{leap} ({at_place(place)}{hint})"


def _welcomes(raga: Raga, heard: Heard, found: Tried) -> Iterator[Said]:
    held = held_phrases(raga, heard)[:PHRASES_NAMED]
    if found.surely_broken or found.is_doubtful:
        held = [each for each in held if each.is_whole]
    for each in held:
        written, hear = in_letters(each.swaras), plain_line(each.swaras)
        if each.is_whole:
            yield Said(f"It holds the raga's phrase {written}.", RIGHT, hear)
        else:
            yield Said(f"It comes near to the raga's phrase {written}.", TOLD, hear)
    faulty = {each.of for each in found.against if each.how in (SURE, DOUBT)}
    told: set[str] = set()
    for stretch in stretches(raga, heard):
        swaras = moved(heard.swaras[stretch.start : stretch.end])
        if not faulty.isdisjoint(range(stretch.start, stretch.end)):
            continue
        if stretch.of == PHRASE or any(lies_in(swaras, each.swaras) for each in held):
            continue
        text = f"{in_letters(swaras)} {_as_in(stretch, swaras)}."
        if text not in told:
            yield Said(text, RIGHT, plain_line(swaras))
        told.add(text)
    if not held and not told and len(heard.notes) >= ENOUGH and raga.phrases:
        nearest = most_alike(heard.swaras, raga)
        yield Said(
            f"None of the phrases by which we know {raga.name} is in it; one of them is "
            f"{in_letters(nearest)}.",
            TOLD,
            plain_line(nearest),
        )


def _as_in(stretch: Stretch, swaras: Sequence[Swara]) -> str:
    """`is the raga's own way up`; where it goes the other way, as a vakra way does in part, in
    which of the two it stands so."""
    if (swaras[-1].steps > swaras[0].steps) == (stretch.of == UP):
        return f"is the raga's own way {'up' if stretch.of == UP else 'down'}"
    return f"stands so in its {'aroha' if stretch.of == UP else 'avaroha'}"


def _rests(raga: Raga, heard: Heard, told: Collection[int], end_is_told: bool) -> Iterator[Said]:
    """Of the places of rests those that are `told` otherwise are left out."""
    letter, rests, last = heard.swaras[-1].letter, rests_in(raga), len(heard.notes) - 1
    if letter not in rests:
        yield _stops(raga, heard)
    elif not end_is_told and last not in told:
        standing = standing_of(raga, letter)
        more = f", its {standing}" if standing else ""
        yield Said(f"It comes to rest on {letter_name(letter)}{more}.", RIGHT)
    yield from _dwells(raga, heard, told)
    yield from _swings(raga, heard)
    vadi = raga.vadi.value[0]
    letters = {swara.letter for swara in heard.swaras}
    if standing_of(raga, vadi) and vadi not in letters and len(heard.notes) >= ENOUGH:
        yield Said(f"{capital(letter_name(vadi))}, the vadi of {raga.name}, is not heard in it.")


def _stops(raga: Raga, heard: Heard) -> Said:
    letter = heard.swaras[-1].letter
    rests = listed([letter_name(one) for one in rests_in(raga)])
    passing = f", which {raga.name} only passes" if letter in never_rests(raga) else ""
    name = "it" if passing else raga.name
    text = f"It stops on {letter_name(letter)}{passing}; {name} rests on {rests}."
    more = led_on(raga, heard.swaras)
    if not more:
        return Said(text)
    whole = (*heard.swaras, *more)
    to = listed([swara_name(swara) for swara in more])
    return Said(f"{text} It could go on to {to}.", TOLD, plain_line(whole))


def _dwells(raga: Raga, heard: Heard, told: Collection[int]) -> Iterator[Said]:
    """On what it stays before its end, longer than elsewhere."""
    shortest = min(note.matras for note in heard.notes)
    for place, note in enumerate(heard.notes[:-1]):
        letter = note.swara.letter
        if note.matras < REST_MATRAS or note.matras == shortest or place in told:
            continue
        if letter in never_rests(raga):
            here = f"{full_name(letter)} ({at_place(place)})"
            yield Said(f"It dwells on {here}; {raga.name} only passes it.")
        elif letter in rests_in(raga):
            standing = standing_of(raga, letter)
            more = f"its {standing}" if standing else f"where {raga.name} may rest"
            yield Said(f"It dwells on {letter_name(letter)} ({at_place(place)}), {more}.", RIGHT)


def _swings(raga: Raga, heard: Heard) -> Iterator[Said]:
    """What the raga lets swing slowly, where it is held long enough to be heard doing so."""
    for place, note in enumerate(heard.notes):
        letter = note.swara.letter
        if letter in raga.andolan.value and note.matras >= SWUNG_MATRAS and raga.andolan.sure:
            name = capital(letter_name(letter))
            if note.tone.sway == "andolan":
                yield Said(f"{name} swings slowly ({at_place(place)}), as the raga has it.", RIGHT)
            elif not note.tone.sway:
                yield Said(
                    f"{name} is held still ({at_place(place)}); {raga.name} lets it swing slowly."
                )


def _resembles(alike: Resembles, found: Tried, apart: str) -> Iterator[Said]:
    if len(moved(alike.heard.swaras)) < FEWEST_ALIKE:
        return
    if found.is_welcome and not alike.makers:
        yield Said("No other raga that we know takes each of its steps.", RIGHT)
    if could := alike.could(apart):
        yield Said(could)
    yield from (Said(text, RIGHT) for text in alike.is_not(apart))
    if leans := alike.leans():
        yield Said(leans)
