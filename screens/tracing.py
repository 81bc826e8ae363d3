"""Where the pitch of an explained phrase runs in its drawing, and where its names stand.

Times are seconds in the score, heights are cents above Sa. The drawing leads from the first swara
to the end of the last; what rings on after that is not drawn.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from statistics import median

from audio.resonance import PLAYING
from audio.score import Score, Stroke
from audio.tuning import SWARAS, Swara
from quizzes.explanation import Marked
from quizzes.names import SAPTAK_NAMES, in_letters, swara_name
from words import language, swaras_in

OCTAVE_CENTS = 1200.0
LEAST_CENTS = 500.0
"""A phrase within less is not stretched over the whole height."""
SA_WITHIN_CENTS = 450.0
"""A Sa so near above or below the phrase is drawn too, to see where it lies."""
SAME_CENTS = 40.0
"""Heights nearer than this share one line."""
_ASKED = 24
"""At so many moments of a swara its pitch is taken, to find its height."""

Trace = tuple[tuple[float, float], ...]
"""(seconds, cents), time rising: the pitch of one stroke."""


@dataclass(frozen=True, slots=True)
class Note:
    """One swara: when it sounds, how high it lies, and how high it reaches."""

    start_s: float
    end_s: float
    cents: float
    reaches_cents: float
    label: str
    deciding: bool


@dataclass(frozen=True, slots=True)
class Drawing:
    """A phrase as it is drawn: `lines` are the heights of its swaras, `sas` those of every Sa."""

    traces: tuple[Trace, ...]
    notes: tuple[Note, ...]
    lines: tuple[float, ...]
    sas: tuple[float, ...]
    here: tuple[tuple[float, float], ...]
    """From when to when it was to be heard; neighbours are one stretch."""
    start_s: float
    end_s: float
    low_cents: float
    high_cents: float


def drawing_of(score: Score, drawn: Sequence[Marked]) -> Drawing:
    """The drawing of a phrase whose swaras are `drawn`, at least one."""
    end_s = drawn[-1].end_s
    traces = _traces(score, end_s)
    notes = tuple(_note(marked, traces) for marked in drawn)
    heights = [cents for trace in traces for _, cents in trace] or [0.0]
    sas = _sas(min(heights), max(heights))
    low, high = min([*heights, *sas]), max([*heights, *sas])
    spare = max(0.0, LEAST_CENTS - (high - low)) / 2
    return Drawing(
        traces=traces,
        notes=notes,
        lines=_apart(note.cents for note in notes),
        sas=sas,
        here=_stretches(drawn),
        start_s=drawn[0].start_s,
        end_s=end_s,
        low_cents=low - spare,
        high_cents=high + spare,
    )


def _traces(score: Score, end_s: float) -> tuple[Trace, ...]:
    """The pitch of each stroke of the playing string, until the next or until `end_s`."""
    played = sorted(
        (stroke for stroke in score.strokes if stroke.voice in PLAYING),
        key=lambda stroke: stroke.onset_s,
    )
    ends = [stroke.onset_s for stroke in played[1:]] + [float("inf")]
    found = []
    for stroke, following_s in zip(played, ends, strict=True):
        last_s = min(stroke.end_s, following_s, end_s - score.lead_s) - stroke.onset_s
        if last_s > 0.0:
            found.append(_trace(stroke, score.lead_s + stroke.onset_s, last_s))
    return tuple(found)


def _trace(stroke: Stroke, start_s: float, last_s: float) -> Trace:
    within = [(at_s, cents) for at_s, cents in stroke.path if at_s < last_s]
    path = [*within, (last_s, _at(stroke.path, last_s))]
    return tuple((start_s + at_s, cents) for at_s, cents in path)


def _at(path: Sequence[tuple[float, float]], at_s: float) -> float:
    """The pitch at a moment: straight from point to point, held beyond both ends."""
    for (before_s, low), (after_s, high) in pairwise(path):
        if before_s <= at_s < after_s:
            return low + (high - low) * (at_s - before_s) / (after_s - before_s)
    return path[0][1] if at_s < path[0][0] else path[-1][1]


def pitch_at(traces: Sequence[Trace], at_s: float) -> float | None:
    """The pitch that sounds at a moment; in a rest, and before the first stroke, None."""
    for trace in traces:
        if trace[0][0] <= at_s <= trace[-1][0]:
            return _at(trace, at_s)
    return None


def _note(marked: Marked, traces: Sequence[Trace]) -> Note:
    length_s = marked.end_s - marked.start_s
    moments = [marked.start_s + (n + 0.5) / _ASKED * length_s for n in range(_ASKED)]
    heard = [cents for at_s in moments if (cents := pitch_at(traces, at_s)) is not None] or [0.0]
    return Note(
        start_s=marked.start_s,
        end_s=marked.end_s,
        cents=median(heard),
        reaches_cents=max(heard),
        label=marked.label,
        deciding=marked.deciding,
    )


def _sas(low: float, high: float) -> tuple[float, ...]:
    """Every Sa that the phrase crosses, or that lies near."""
    least, most = low - SA_WITHIN_CENTS, high + SA_WITHIN_CENTS
    numbers = range(int(least // OCTAVE_CENTS), int(most // OCTAVE_CENTS) + 1)
    return tuple(n * OCTAVE_CENTS for n in numbers if least <= n * OCTAVE_CENTS <= most)


def _apart(heights: Iterable[float]) -> tuple[float, ...]:
    kept: list[float] = []
    for cents in sorted(heights):
        if not kept or cents - kept[-1] > SAME_CENTS:
            kept.append(cents)
    return tuple(kept)


def _stretches(drawn: Sequence[Marked]) -> tuple[tuple[float, float], ...]:
    found: list[tuple[float, float]] = []
    before = False
    for marked in drawn:
        if marked.deciding and before:
            found[-1] = found[-1][0], marked.end_s
        elif marked.deciding:
            found.append((marked.start_s, marked.end_s))
        before = marked.deciding
    return tuple(found)


# Names.


@lru_cache(maxsize=4)
def _by_name(language: str, letters: str) -> dict[str, Swara]:
    """All swaras of three saptaks, by what they are called in the language and letters in use."""
    swaras = [Swara(semitone, octave) for octave in SAPTAK_NAMES for semitone in range(len(SWARAS))]
    return {swara_name(swara): swara for swara in swaras}


def forms_of(label: str) -> tuple[str, str, str]:
    """A swara's name in one line, in two, and as its letter; other words stay as they are."""
    swara = _by_name(language(), swaras_in()).get(label)
    short = label if swara is None else in_letters([swara])
    return label, "\n".join(label.rsplit(" ", 1)), short


def places_of(
    notes: Sequence[Note],
    x_of: Callable[[float], float],
    broad_px: Sequence[float],
    room: tuple[float, float],
) -> list[float]:
    """Where the names of swaras begin: each under the middle of its own, all within the room."""
    left, right = room
    middles = [(x_of(note.start_s) + x_of(note.end_s)) / 2 for note in notes]
    return [
        min(max(middle - broad / 2, left), right - broad)
        for middle, broad in zip(middles, broad_px, strict=True)
    ]


def form_that_fits(
    notes: Sequence[Note],
    x_of: Callable[[float], float],
    broad_px: Callable[[str], float],
    room: tuple[float, float],
) -> int:
    """Which of the three forms all names have room in beside each other: the longest."""
    for form in range(2):
        broad = [broad_px(forms_of(note.label)[form]) for note in notes]
        places = places_of(notes, x_of, broad, room)
        ends = [x + width for x, width in zip(places, broad, strict=True)]
        if all(end <= x for end, x in zip(ends, places[1:], strict=False)):
            return form
    return 2


def shown_of(
    notes: Sequence[Note], places: Sequence[float], broad_px: Sequence[float]
) -> list[bool]:
    """Which names are shown where some would touch: those by which it was to be known before
    others, and from the left each that has room beside those shown already."""
    boxes = [(x, x + broad) for x, broad in zip(places, broad_px, strict=True)]
    shown: list[int] = []
    for at in sorted(range(len(notes)), key=lambda at: not notes[at].deciding):
        begin, end = boxes[at]
        if all(end <= boxes[other][0] or begin >= boxes[other][1] for other in shown):
            shown.append(at)
    return [at in shown for at in range(len(notes))]


# Time.


def moment_in(score: Score, other: Score, at_s: float) -> float:
    """The moment in `score` that belongs to a moment in `other`, the same strokes played slower.

    Strokes meet strokes; where the two have not equally many, the whole is stretched evenly.
    """
    if score is other:
        return at_s
    here, there = _onsets(score), _onsets(other)
    if len(here) != len(there):
        return at_s * here[-1] / there[-1]
    path = list(zip(there, here, strict=True))
    return _at(path, at_s)


def _onsets(score: Score) -> list[float]:
    """When each stroke begins, of the drums where there is no other, and when all is over; rising,
    from the start."""
    strokes = score.strokes or score.tabla
    found = {0.0} | {score.lead_s + stroke.onset_s for stroke in strokes}
    return [*sorted(found), score.duration_s]
