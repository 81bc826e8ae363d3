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
from quizzes.names import capital, counted, gap_name, in_letters, listed, swara_name
from quizzes.ragas.evidence import REST_MATRAS
from quizzes.ragas.raga import Raga
from quizzes.ragas.resting import full_name, name_with_standing, never_rests, standing_of
from quizzes.ragas.said import raga_name
from quizzes.ragas.sounding import SWUNG_MATRAS, plain_line
from quizzes.ragas.words import letter_name, most_alike
from words import say, say_many, to_say

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
        yield Said(say("Every step in it is one that {raga} takes.", raga=raga_name(raga)), RIGHT)
    faulty = {place for each in found.against for place in (each.of, each.of + 1, each.at)}
    new = [place for place in found.steps if place not in faulty]
    new = [place for place in new if not is_taught_step(raga, heard, place)]
    if new:
        yield Said(
            say_many(
                "{steps} is not among the steps that we have written down of {raga}; nothing "
                "speaks against it.",
                "{steps} are not among the steps that we have written down of {raga}; nothing "
                "speaks against them.",
                len(new),
                steps=capital(_steps_at(heard, new)),
                raga=raga_name(raga),
            )
        )


def _steps_at(heard: Heard, places: Sequence[int]) -> str:
    """`Ni to komal Re (the third swara)`."""
    steps = listed([_step(heard.swaras, place) for place in places[:STEPS_NAMED]])
    more = len(places) - STEPS_NAMED
    if more <= 0:
        return steps
    others = counted(more, "{number} other", "{number} others")
    return say("{steps}, with {others},", steps=steps, others=others)


def _step(swaras: Sequence[Swara], place: int) -> str:
    one, other = swaras[place - 1 : place + 1]
    away = other.steps - one.steps
    if abs(away) <= A_FIFTH:
        return say("{step} ({place})", step=spoken((one, other)), place=at_place(place))
    leap = gap_name(*((one, other, "up") if away > 0 else (other, one, "down")))
    # Who forgets the sign of a saptak leaps nearly an octave.
    toward = replace(other, octave=other.octave + (-1 if away > 0 else 1))
    meant = toward if place > 1 else replace(one, octave=one.octave + (1 if away > 0 else -1))
    near = abs(abs(away) - len(SWARAS)) <= A_THIRD
    if not near:
        return say("{step} ({place})", step=leap, place=at_place(place))
    return say(
        "{step} ({place}; was {meant} meant?)",
        step=leap,
        place=at_place(place),
        meant=swara_name(meant),
    )


def _welcomes(raga: Raga, heard: Heard, found: Tried) -> Iterator[Said]:
    held = held_phrases(raga, heard)[:PHRASES_NAMED]
    if found.surely_broken or found.is_doubtful:
        held = [each for each in held if each.is_whole]
    for each in held:
        written, hear = in_letters(each.swaras), plain_line(each.swaras)
        if each.is_whole:
            yield Said(say("It holds the raga's phrase {phrase}.", phrase=written), RIGHT, hear)
        else:
            near = say("It comes near to the raga's phrase {phrase}.", phrase=written)
            yield Said(near, TOLD, hear)
    faulty = {each.of for each in found.against if each.how in (SURE, DOUBT)}
    told: set[str] = set()
    for stretch in stretches(raga, heard):
        swaras = moved(heard.swaras[stretch.start : stretch.end])
        if not faulty.isdisjoint(range(stretch.start, stretch.end)):
            continue
        if stretch.of == PHRASE or any(lies_in(swaras, each.swaras) for each in held):
            continue
        text = say(_as_in(stretch, swaras), swaras=in_letters(swaras))
        if text not in told:
            yield Said(text, RIGHT, plain_line(swaras))
        told.add(text)
    if not held and not told and len(heard.notes) >= ENOUGH and raga.phrases:
        nearest = most_alike(heard.swaras, raga)
        yield Said(
            say(
                "None of the phrases by which we know {raga} is in it; one of them is {phrase}.",
                raga=raga_name(raga),
                phrase=in_letters(nearest),
            ),
            TOLD,
            plain_line(nearest),
        )


def _as_in(stretch: Stretch, swaras: Sequence[Swara]) -> str:
    """`S R G is the raga's own way up`, to be said of the swaras; where it goes the other way, as a
    vakra way does in part, in which of the two it stands so."""
    of_way_up = stretch.of == UP
    if (swaras[-1].steps > swaras[0].steps) == of_way_up:
        if of_way_up:
            return to_say("{swaras} is the raga's own way up.")
        return to_say("{swaras} is the raga's own way down.")
    if of_way_up:
        return to_say("{swaras} stands so in its aroha.")
    return to_say("{swaras} stands so in its avaroha.")


def _rests(raga: Raga, heard: Heard, told: Collection[int], end_is_told: bool) -> Iterator[Said]:
    """Of the places of rests those that are `told` otherwise are left out."""
    letter, rests, last = heard.swaras[-1].letter, rests_in(raga), len(heard.notes) - 1
    if letter not in rests:
        yield _stops(raga, heard)
    elif not end_is_told and last not in told:
        name = name_with_standing(raga, letter, letter_name(letter))
        yield Said(say("It comes to rest on {swara}.", swara=name), RIGHT)
    yield from _dwells(raga, heard, told)
    yield from _swings(raga, heard)
    vadi = raga.vadi.value[0]
    letters = {swara.letter for swara in heard.swaras}
    if standing_of(raga, vadi) and vadi not in letters and len(heard.notes) >= ENOUGH:
        yield Said(
            say(
                "{swara}, the vadi of {raga}, is not heard in it.",
                swara=capital(letter_name(vadi)),
                raga=raga_name(raga),
            )
        )


def _stops(raga: Raga, heard: Heard) -> Said:
    letter = heard.swaras[-1].letter
    text = say(
        _STOPS_PASSING if letter in never_rests(raga) else _STOPS,
        swara=letter_name(letter),
        raga=raga_name(raga),
        rests=listed([letter_name(one) for one in rests_in(raga)]),
    )
    more = led_on(raga, heard.swaras)
    if not more:
        return Said(text)
    whole = (*heard.swaras, *more)
    onward = say("It could go on to {swaras}.", swaras=listed(list(map(swara_name, more))))
    return Said(f"{text} {onward}", TOLD, plain_line(whole))


_STOPS = to_say("It stops on {swara}; {raga} rests on {rests}.")
_STOPS_PASSING = to_say("It stops on {swara}, which {raga} only passes; it rests on {rests}.")


def _dwells(raga: Raga, heard: Heard, told: Collection[int]) -> Iterator[Said]:
    """On what it stays before its end, longer than elsewhere."""
    shortest = min(note.matras for note in heard.notes)
    for place, note in enumerate(heard.notes[:-1]):
        letter = note.swara.letter
        if note.matras < REST_MATRAS or note.matras == shortest or place in told:
            continue
        if letter in never_rests(raga):
            text, mark, name = _DWELLS_PASSING, TOLD, full_name(letter)
        elif letter in rests_in(raga):
            text, mark = _DWELLS[standing_of(raga, letter)], RIGHT
            name = letter_name(letter)
        else:
            continue
        yield Said(say(text, swara=name, place=at_place(place), raga=raga_name(raga)), mark)


_DWELLS_PASSING = to_say("It dwells on {swara} ({place}); {raga} only passes it.")
_DWELLS = {
    "": to_say("It dwells on {swara} ({place}), where {raga} may rest."),
    "vadi": to_say("It dwells on {swara} ({place}), its vadi."),
    "samvadi": to_say("It dwells on {swara} ({place}), its samvadi."),
}
"""By what a rest of the raga is to it."""


def _swings(raga: Raga, heard: Heard) -> Iterator[Said]:
    """What the raga lets swing slowly, where it is held long enough to be heard doing so."""
    for place, note in enumerate(heard.notes):
        letter = note.swara.letter
        if letter in raga.andolan.value and note.matras >= SWUNG_MATRAS and raga.andolan.sure:
            parts = {"swara": capital(letter_name(letter)), "place": at_place(place)}
            if note.tone.sway == "andolan":
                swings = say("{swara} swings slowly ({place}), as the raga has it.", **parts)
                yield Said(swings, RIGHT)
            elif not note.tone.sway:
                yield Said(
                    say(
                        "{swara} is held still ({place}); {raga} lets it swing slowly.",
                        raga=raga_name(raga),
                        **parts,
                    )
                )


def _resembles(alike: Resembles, found: Tried, apart: str) -> Iterator[Said]:
    if len(moved(alike.heard.swaras)) < FEWEST_ALIKE:
        return
    if found.is_welcome and not alike.makers:
        yield Said(say("No other raga that we know takes each of its steps."), RIGHT)
    if could := alike.could(apart):
        yield Said(could)
    yield from (Said(text, RIGHT) for text in alike.is_not(apart))
    if leans := alike.leans():
        yield Said(leans)
