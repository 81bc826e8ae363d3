"""A student's run of a palta with one slip in it, in writing and in sound.

The slips: a neighbouring swara in place of the right one; a note early or late; a note left out, so
that the one before it rings on; a stroke swallowed, so that the fingers sound the swara on the
stroke before it. The beat goes on in all of them, and a run lasts as long with a slip as without.
No slip lies on the first note of a group, where it might as well be the group before that falters;
and no note is left out, and no stroke swallowed, but within a finger's reach of the one before.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from itertools import pairwise

from audio.line import HOLD, Beat, Line, Part, Tone
from audio.ornaments import KRINTAN, SPARSH
from audio.playing import score_of
from audio.score import Drone, Score, Stroke
from audio.tuning import Swara, load_tuning
from quizzes.alterations import altered
from quizzes.contours import THATS
from quizzes.fresh import LEVEL_SPREAD_DB, Fresh
from quizzes.left_hand import WIDEST_STEP
from quizzes.met import scales_met
from quizzes.paltas import Group, Layout, Palta, lay, layouts, paltas, run_in_scale
from quizzes.phrases import ladder_of
from quizzes.question import Setting

SWARA, TIMING, DROPPED, STROKE = SORTS = ("swara", "timing", "dropped", "stroke")

GROUPS = 5
"""How many groups are heard, one of which falters."""
FEWEST_SWARAS = 3
"""In a group: of fewer, only one note could be at fault."""
NOTE_S = 0.26, 0.36
"""How long a note lasts that is not held: no shorter than the ear is at its finest with, which is
some 250 ms (Friberg & Sundberg 1995, JASA 98, 2524-2531: a displaced tone of an even row is found
out from 2.5 % of the time between two tones on, of shorter tones from some 6 ms on)."""
LONGEST_S = 7.6
"""No run lasts longer, so that it can be kept in mind, and heard twice in an explanation."""
MOST_NOTES = 30
"""By the time that they take; so that none is shorter than what `NOTE_S` says."""
PAUSE_S = 1.1
"""Between a run and the same one clean."""
SLOWER = 0.6
RING_S = 0.8
SA_MOVES_SEMITONES = 3.0
LEVEL_OF_RUN_DB, BRIGHTNESS_OF_RUN, BRIGHTNESS_SPREAD = 1.5, 0.5, 0.3
"""How loud and how bright a run is, and each stroke beside it, varies at random by up to this. A
stroke that is missing leaves a run a little softer and duller, and this hides it."""


@dataclass(frozen=True, slots=True)
class Slip:
    """What went wrong at which note, both counted from 0: `group`, and `place` within it."""

    sort: str
    group: int
    place: int
    sounded: Swara
    """The swara that sounded there: another one, or the one that rang on."""
    off: float = 0.0
    """How late the note was, as a part of its time; below 0 how early."""


@dataclass(frozen=True, slots=True)
class Run:
    """A run as it should be, and how it sounds: level in decibels and brightness by note."""

    palta: Palta
    groups: tuple[Group, ...]
    ladder: tuple[Swara, ...]
    layout: Layout
    note_s: float
    sa_hz: float
    lead_s: float
    strengths: tuple[tuple[float, float], ...]

    @property
    def swaras(self) -> tuple[Swara, ...]:
        return tuple(swara for group in self.groups for swara in group)

    @property
    def tempo(self) -> float:
        """In matras a minute."""
        return 60.0 / (self.note_s * len(self.layout.matra))

    def at(self, group: int, place: int) -> int:
        """Which note of all it is."""
        return group * self.palta.swaras + place

    def between(self, first: int, last: int) -> Run:
        """Only these groups of it."""
        n = self.palta.swaras
        return replace(
            self,
            groups=self.groups[first : last + 1],
            strengths=self.strengths[first * n : (last + 1) * n],
        )


def fresh_run(fresh: Fresh, setting: Setting) -> Run:
    """A run of some palta, up or down in some scale of swaras that are met, in each group of which
    any slip may lie."""
    groups: tuple[Group, ...] = ()
    while not groups:
        palta, layout = fresh.one_of(paltas_asked())
        scale = fresh.one_of(scales_met(setting)).split()
        run = run_in_scale(palta, scale)
        assert run is not None  # as in every scale of seven
        way = fresh.one_of((run.up, run.down))
        starts = range(len(way) - GROUPS + 1)
        windows = [way[first : first + GROUPS] for first in starts]
        able = [some for some in windows if all(map(_has_step, (*some[:-1], some[-1][:-1])))]
        groups = fresh.one_of(able) if able else ()
    notes = GROUPS * _time_of(palta, layout)
    level_db = fresh.between(-LEVEL_OF_RUN_DB, LEVEL_OF_RUN_DB)
    brightness = fresh.between(-BRIGHTNESS_OF_RUN, BRIGHTNESS_OF_RUN)
    spread_db, spread = LEVEL_SPREAD_DB, BRIGHTNESS_SPREAD
    return Run(
        palta=palta,
        groups=groups,
        ladder=ladder_of(scale),
        layout=layout,
        note_s=round(min(fresh.between(*NOTE_S), LONGEST_S / notes), 4),
        sa_hz=fresh.moved_sa(setting.sa_hz, semitones=SA_MOVES_SEMITONES),
        lead_s=round(fresh.between(0.1, 0.4), 3),
        strengths=tuple(
            (
                round(level_db + fresh.between(-spread_db, spread_db), 2),
                round(brightness + fresh.between(-spread, spread), 2),
            )
            for _ in range(GROUPS * palta.swaras)
        ),
    )


def _has_step(group: Group) -> bool:
    """Whether two of its swaras in a row are sounded by two fingers on one stroke."""
    return any(_is_step(before, here) for before, here in pairwise(group))


def _is_step(before: Swara, here: Swara) -> bool:
    return 0 < abs(here.steps - before.steps) <= WIDEST_STEP


def fresh_slip(fresh: Fresh, run: Run, sort: str, *, off: float) -> Slip:
    """A slip of this sort somewhere in the run; a note that is early or late is so by `off`."""
    group = fresh.one_of(range(GROUPS))
    signed = off if fresh.between(0, 1) < 0.5 else -off
    places = fresh.shuffled(range(1, run.palta.swaras))
    return slip_in(run, sort, group, places, signed)


def slip_in(run: Run, sort: str, group: int, places: Sequence[int], off: float) -> Slip:
    """The slip of this sort at the first of these places of a group at which it can be heard."""
    found = (_slip_at(run, sort, group, place, off) for place in places)
    return next(slip for slip in found if slip is not None)


def _slip_at(run: Run, sort: str, group: int, place: int, off: float) -> Slip | None:
    """The slip of this sort there; None where there is none that would be heard as such."""
    at = run.at(group, place)
    before, right = run.swaras[at - 1 : at + 1]
    if sort == SWARA:
        beside = {before, right, *run.swaras[at + 1 : at + 2]}
        index = run.ladder.index(right)
        near = [each for each in run.ladder[index - 1 : index + 2] if each not in beside]
        # Alike by the run alone: of two neighbours the one that is further from the note before.
        wrong = max(near, key=lambda each: abs(each.steps - before.steps), default=None)
        return None if wrong is None else Slip(sort, group, place, wrong)
    if sort == TIMING:
        return Slip(sort, group, place, right, off)
    is_last = at == len(run.swaras) - 1  # what is missing there is an end like any other
    if is_last or not _is_step(before, right):
        return None
    return Slip(sort, group, place, before if sort == DROPPED else right)


def line_of(run: Run, slip: Slip | None = None) -> Line:
    """The run in writing; a note that is early or late cannot be told from it."""
    line = lay(run.groups, run.layout)
    if slip is None or slip.sort == TIMING:
        return line
    before, here = run.swaras[run.at(slip.group, slip.place) - 1 :][:2]
    part: Part = Tone(slip.sounded)
    if slip.sort == DROPPED:
        part = HOLD
    elif slip.sort == STROKE:
        part = Tone(here, by=SPARSH if here.steps > before.steps else KRINTAN)
    return _with_note(line, run.at(slip.group, slip.place), part)


def cue_of(run: Run, setting: Setting, slip: Slip | None = None) -> Score:
    """The run as it is heard, with the slip or clean."""
    score = score_of(
        line_of(run, slip),
        load_tuning(setting.tuning),
        sa_hz=run.sa_hz,
        matras_per_min=run.tempo,
        drone=Drone(),
        lead_s=run.lead_s,
        ring_s=RING_S,
    )
    struck = list(range(len(run.swaras)))
    strokes: Sequence[Stroke] = score.strokes
    if slip is not None:
        at = run.at(slip.group, slip.place)
        if slip.sort == TIMING:
            strokes = altered(strokes, at, "timing", 1000.0 * slip.off * run.note_s)
        elif slip.sort != SWARA:
            struck.remove(at)
    return replace(score, strokes=tuple(_strong(strokes, [run.strengths[at] for at in struck])))


def beside_clean(run: Run, setting: Setting, slip: Slip) -> Score:
    """The run with its slip, then the same run clean."""
    run = replace(run, lead_s=0.0)
    played, clean = cue_of(run, setting, slip), cue_of(run, setting)
    after_s = float(line_of(run).matras) * 60.0 / run.tempo + PAUSE_S
    later = (replace(each, onset_s=each.onset_s + after_s) for each in clean.strokes)
    return replace(played, strokes=(*played.strokes, *later))


def slowly(run: Run, setting: Setting, slip: Slip) -> Score:
    """The group that falters and the one before it, slowly, with the slip and clean."""
    first = max(slip.group - 1, 0)
    some = replace(run.between(first, slip.group), note_s=run.note_s / SLOWER)
    return beside_clean(some, setting, replace(slip, group=slip.group - first))


def _strong(
    strokes: Sequence[Stroke], strengths: Sequence[tuple[float, float]]
) -> Iterator[Stroke]:
    for stroke, (level_db, brightness) in zip(strokes, strengths, strict=True):
        yield replace(stroke, level_db=level_db, brightness=brightness)


def _with_note(line: Line, at: int, part: Part) -> Line:
    """The line with something else in place of one of its notes."""
    items: list[Beat | str] = []
    met = 0
    for item in line.items:
        parts = []
        for each in item.parts if isinstance(item, Beat) else ():
            is_note = isinstance(each, Tone)
            parts.append(part if is_note and met == at else each)
            met += is_note
        items.append(replace(item, parts=tuple(parts)) if isinstance(item, Beat) else item)
    return Line(tuple(items))


@cache
def paltas_asked() -> tuple[tuple[Palta, Layout], ...]:
    """Paltas, each with a layout, of which a slip is told by its group.

    Every swara differs from the one before it in its group, or a stroke swallowed and a note left
    out would be one; notes are even, and each group begins with a matra.
    """
    found = []
    for palta in paltas().values():
        run = run_in_scale(palta, THATS[0].split())
        moves = all(a != b for a, b in pairwise(palta.shape))
        if run is None or not moves or palta.swaras < FEWEST_SWARAS:
            continue
        if min(len(run.up), len(run.down)) >= GROUPS:
            found += [
                (palta, layout)
                for layout in map(layouts().__getitem__, palta.layouts)
                if _is_even(palta, layout) and GROUPS * _time_of(palta, layout) <= MOST_NOTES
            ]
    return tuple(found)


def _is_even(palta: Palta, layout: Layout) -> bool:
    whole = layout.after != "on" or palta.swaras % layout.swaras_to_matra == 0
    return whole and set(layout.matra) == {"x"}


def _time_of(palta: Palta, layout: Layout) -> int:
    """How many notes long a group is, with what is held at its end."""
    line = lay([(Swara(0),) * palta.swaras], layout)
    return int(line.matras * Fraction(len(layout.matra)))
