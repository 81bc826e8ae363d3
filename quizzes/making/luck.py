"""How often a wish is kept by who hears nothing and does not know the raga, on random lines.

Such a student reads the wish and does what can be read: writes as many swaras as are wished, the
last one as wished, and a meend where one is wished; a swara that sounded is guessed. The others
come at random, either from all twelve, each within a fourth of the one before, or from the few that
are safe: Sa, Pa and those that the wish names, in whichever saptak it wishes. Luck is that of the
luckier. A line that is to be varied is changed at random. What was never kept counts as half a line
(Krichevsky & Trofimov 1981), so that luck is never nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache

from audio.line import Beat, Line, Tone
from audio.sargam import parse, write
from audio.tuning import SWARAS, Swara
from quizzes.fresh import Fresh
from quizzes.making.keeping import kept_parts
from quizzes.making.of_ragas import GRAVER_SIGNS
from quizzes.making.phrases import Heard
from quizzes.making.shaping import with_meend
from quizzes.making.trying import tried
from quizzes.making.wish import Wish, wish_of
from quizzes.ragas.movement import surely_breaks
from quizzes.ragas.pieces import HIGHEST_STEPS, LOWEST_STEPS, semitones_of
from quizzes.ragas.raga import Raga

LINES = 50
"""Random lines on which a wish is tried."""
SAFE_LINES = 25
"""The same of lines of swaras that are safe, most of which are looked at to their end."""
A_FOURTH = 5
SAFE = (0, 7)
"""Sa and Pa, which the drone sounds."""
REACH = {"mandra": -12, "tar": 12}
CHANGES = 2
"""Places at which a line that is to be varied is changed."""
LONGER, SHORTER = Fraction(2), Fraction(1, 2)


def luck_in_raga(wish: Wish, raga: Raga, known: Mapping[str, Raga]) -> float:
    """Of a wish for a phrase of a raga."""
    if wish.value("graver"):
        return luck_in_mood()
    guessed = 1 / len(SWARAS) if wish.value("begins") else 1.0
    return guessed * max(
        _luck_of(_random_steps, LINES, wish, raga, known),
        _luck_of(_safe_steps, SAFE_LINES, wish, raga, known),
    )


def _luck_of(
    steps_of: Callable[[Fresh, Wish], list[int]],
    count: int,
    wish: Wish,
    raga: Raga,
    known: Mapping[str, Raga],
) -> float:
    """Of who draws so many lines so."""
    fresh, allowed, kept = Fresh("luck", 0), semitones_of(raga.allowed), 0
    for _ in range(count):
        steps = steps_of(fresh, wish)
        # Looked at first, since most lines fall here, and at once.
        if not allowed.issuperset(step % len(SWARAS) for step in steps):
            continue
        swaras = tuple(map(Swara.at, steps))
        if not surely_breaks(raga, swaras):
            kept += _is_kept(wish, _random_line(fresh, wish, swaras), raga, known)
    return _share(kept, count)


def _is_kept(wish: Wish, line: Line, raga: Raga, known: Mapping[str, Raga]) -> bool:
    if tried(raga, Heard(line)).surely_broken:
        return False
    return all(part.kept for part in kept_parts(wish, line, raga, known))


def _share(kept: int, of: int) -> float:
    return (kept + 0.5) / (of + 1)


def _random_steps(fresh: Fresh, wish: Wish) -> list[int]:
    """It begins as wished: that this was a guess is reckoned by itself."""
    fewest, _, most = wish.value("count").partition("-")
    count = fresh.one_of(range(int(fewest), int(most or fewest) + 1))
    first = wish.value("begins")
    steps = [Swara.read(first).steps if first else fresh.one_of(range(len(SWARAS)))]
    while len(steps) < count - 1:
        step = steps[-1] + fresh.one_of(range(-A_FOURTH, A_FOURTH + 1))
        steps.append(min(max(step, LOWEST_STEPS), HIGHEST_STEPS))
    return [*steps, _nearest(steps[-1], wish.value("ends"))]


def _safe_steps(fresh: Fresh, wish: Wish) -> list[int]:
    """Of swaras that hardly a raga lacks and of what the wish names, none twice at once."""
    fewest, _, most = wish.value("count").partition("-")
    count, begins = fresh.one_of(range(int(fewest), int(most or fewest) + 1)), wish.value("begins")
    steps = [Swara.read(begins).steps if begins else fresh.one_of(SAFE)]
    reach = REACH.get(wish.value("reaches"), 0)
    able = [*SAFE, _nearest(0, wish.value("ends")), steps[0]]
    able = [step for step in (*able, *(each + reach for each in able)) if step >= LOWEST_STEPS]
    while len(steps) < count - 1:
        steps.append(fresh.one_of([step for step in able if step != steps[-1]]))
    return [*steps, _nearest(steps[-1], wish.value("ends"))]


def _random_line(fresh: Fresh, wish: Wish, swaras: Sequence[Swara]) -> Line:
    line = Line(tuple(Beat((Tone(swara),)) for swara in swaras))
    return with_meend(fresh, line) if wish.value("meend") else line


def _nearest(steps: int, letter: str) -> int:
    """This letter where it lies nearest."""
    away = (SWARAS.index(letter) - steps) % len(SWARAS)
    return steps + (away if away <= len(SWARAS) // 2 else away - len(SWARAS))


@cache
def luck_in_mood(given: str = "S R G m P") -> float:
    """Of playing a phrase an octave lower, higher or neither; slower, faster or neither; with a
    meend or none: each as likely. It is the same for one phrase as for another."""
    line, wish = parse(given), wish_of(given, swaras="lower", graver=GRAVER_SIGNS)
    made = [
        _played(drawn, octave, pace)
        for drawn in (line, with_meend(Fresh("luck", 0), line))
        for octave in (-1, 0, 1)
        for pace in (SHORTER, Fraction(1), LONGER)
    ]
    kept = sum(all(part.kept for part in kept_parts(wish, each)) for each in made)
    return _share(kept, len(made))


def _played(line: Line, octave: int, pace: Fraction) -> Line:
    return Line(
        tuple(
            Beat(
                (replace(note.tone, swara=Swara.at(note.swara.steps + 12 * octave)),),
                note.matras * pace,
            )
            for note in line.notes()
        )
    )


VARYING_LINES = 400


@cache
def luck_of_varying(treatment: str, count: int) -> float:
    """Of a wish that of a phrase of so many swaras one thing alone is varied. Which they are does
    not matter to it."""
    fresh, line = Fresh("luck", 0), Line(tuple(Beat((Tone(Swara.at(at)),)) for at in range(count)))
    wish, kept = wish_of(write(line), swaras="same", only=treatment), 0
    for _ in range(VARYING_LINES):
        made = _changed_at_random(fresh, line)
        kept += all(part.kept for part in kept_parts(wish, made))
    return _share(kept, VARYING_LINES)


def _changed_at_random(fresh: Fresh, line: Line) -> Line:
    """At a few places of it another swara, length, loudness or tone."""
    beats = [Beat((note.tone,), note.matras) for note in line.notes()]
    for at in fresh.shuffled(range(len(beats)))[:CHANGES]:
        beats[at] = fresh.one_of(_CHANGES)(fresh, beats[at])
    return Line(tuple(beats))


def _other_swara(fresh: Fresh, beat: Beat) -> Beat:
    (tone,) = beat.parts
    assert isinstance(tone, Tone)
    away = fresh.one_of([step for step in range(-A_FOURTH, A_FOURTH + 1) if step])
    return replace(beat, parts=(replace(tone, swara=Swara.at(tone.swara.steps + away)),))


def _other_length(fresh: Fresh, beat: Beat) -> Beat:
    return replace(beat, matras=beat.matras * fresh.one_of((SHORTER, LONGER)))


def _struck_otherwise(what: str) -> Callable[[Fresh, Beat], Beat]:
    def change(fresh: Fresh, beat: Beat) -> Beat:
        (tone,) = beat.parts
        assert isinstance(tone, Tone)
        sign = fresh.one_of((-1, 1))
        struck = replace(tone, loud=sign) if what == "loud" else replace(tone, tone=sign)
        return replace(beat, parts=(struck,))

    return change


_CHANGES = (_other_swara, _other_length, _struck_otherwise("loud"), _struck_otherwise("tone"))
