"""A stage of a performance played in a raga, by nothing but the stage's own description."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from itertools import groupby

from audio.mizrab import Jhala, mizrab
from audio.playing import score_of
from audio.sargam import write
from audio.score import Drone, Score, Stroke, TablaStroke
from audio.theka import read_theka, theka_strokes
from audio.tuning import load_tuning
from quizzes.fresh import Fresh
from quizzes.ragas.movement import admits, surely_breaks
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import tuned_to
from quizzes.right_hand import THEKA_DB
from quizzes.stages.free import unpulsed
from quizzes.stages.gats import gat_of, own_gat_of
from quizzes.stages.jhalas import jhala_of
from quizzes.stages.joining import leaps
from quizzes.stages.loudness import gain_db, levelled_to, made_up, turned
from quizzes.stages.measured import on_pulse
from quizzes.stages.phrasing import goes_through
from quizzes.stages.played import IN, Played
from quizzes.stages.stage import Heard, Stage
from quizzes.stages.tans import bears_run, tan_of
from quizzes.stages.tihais import tihai_of
from quizzes.talas import Tala, talas
from words import in_script, say

SHORTEST_S, LONGEST_S = 8.0, 20.0
"""How long a passage lasts that is to be known by ear."""

SA_MOVES_SEMITONES = 3.0
LEAD_S = 0.15, 0.4
RING_S, RING_SHARE = 0.8, 0.15
"""How long what ends a passage rings on at least; of a short one, a share of it."""
PASSAGE_LUFS = -26.5
"""Integrated, with its drone: so soft that room for peaks (`audio.headroom`) is there."""
LOUDNESS_SPREAD_LU = 0.4
STROKE_SPREAD_DB, STROKE_BRIGHTNESS_SPREAD = 0.8, 0.08
WHOLE_BRIGHTNESS_SPREAD = 0.2
STRAYS, SURELY_STRAYS = 0.5, 5.0
"""What a passage is marked down by that its raga does not admit, and that no teaching allows."""
TRIES = 8
"""So many are tried until one is all that is described."""
OFTEN_USUAL = 0.7
"""How often a stage is played in its usual tala, where it has several."""


@dataclass(frozen=True, slots=True)
class Passage:
    """What sounds, and the same in writing for logs and readers.

    `tala` is the id of the tala and `matras_per_min` its tempo; without a tala that of the pulse,
    None where there is none. `sam_s` says when sam falls, in seconds after the score begins.
    """

    score: Score
    sargam: str
    tala: str | None = None
    matras_per_min: float | None = None
    sam_s: tuple[float, ...] = ()


def bears(stage: Stage, raga: Raga) -> bool:
    """Whether the stage can be played in this raga: one that turns on its way bears no straight
    run, and one that lives high no alap and no line of a gat that is to lie low. A jor or a jhala
    goes as far as the raga does."""
    heard = stage.heard
    if heard.run and heard.tabla:
        return bears_run(raga, heard.run, heard.register)
    freely = heard.pulse and (not heard.tabla or heard.bols in _jhalas())
    return freely or goes_through(raga, heard.register)


def passage(
    fresh: Fresh,
    stage: Stage,
    raga: Raga,
    *,
    sa_hz: float,
    tuning: str,
    lasts_s: tuple[float, float] = (SHORTEST_S, LONGEST_S),
    moves_sa: bool = True,
    tradition: str = "",
) -> Passage:
    """A fresh passage, lasting from and to so many seconds.

    `sa_hz` is moved a little, unless the caller fixes it; the theka is that of the `tradition`.
    Raises ValueError where the raga does not bear the stage (`bears`).
    """
    if moves_sa:
        sa_hz = fresh.moved_sa(sa_hz, semitones=SA_MOVES_SEMITONES)
    low, high = lasts_s
    whole_s = fresh.between(low + 0.25 * (high - low), high - 0.25 * (high - low))
    lead_s = round(fresh.between(*LEAD_S), 3)
    ring_s = min(RING_S, RING_SHARE * whole_s)
    tala = _tala(fresh, stage.heard.talas, talas(tradition))
    played = _as_described(fresh, stage.heard, raga, whole_s - lead_s - ring_s, tala)
    matra_s = 60.0 / played.matras_per_min
    score = score_of(
        played.line,
        tuned_to(raga, load_tuning(tuning)),
        sa_hz=sa_hz,
        matras_per_min=played.matras_per_min,
        drone=Drone(raga.drone),
        lead_s=lead_s,
        hand=played.hand,
        ring_s=max(ring_s / 2, whole_s - lead_s - float(played.line.matras) * matra_s),
    )
    score = _struck(fresh, score, played)
    loud = PASSAGE_LUFS + fresh.between(-LOUDNESS_SPREAD_LU, LOUDNESS_SPREAD_LU)
    return Passage(
        levelled_to(score, loud),
        _written(played),
        played.tala.id if played.tala else None,
        played.matras_per_min if stage.heard.pulse else None,
        tuple(round(lead_s + float(at) * matra_s, 6) for at in played.sams),
    )


def _as_described(
    fresh: Fresh, heard: Heard, raga: Raga, lasts_s: float, tala: Tala | None
) -> Played:
    """The first of a few that is all that is described and all the raga's, else the one nearest to
    that."""
    best = _played(fresh, heard, raga, lasts_s, tala)
    least = _off(best, heard, raga)
    for _ in range(TRIES - 1):
        if not least:
            break
        other = _played(fresh, heard, raga, lasts_s, tala)
        if (off := _off(other, heard, raga)) < least:
            best, least = other, off
    return best


def _off(played: Played, heard: Heard, raga: Raga) -> float:
    """How far it is from its description, and whether the raga does not move so."""
    swaras = [swara for swara, _ in groupby(note.swara for note in played.line.notes())]
    off = played.off(heard)
    if not heard.run:
        off += STRAYS * leaps(raga, swaras)
    if not admits(raga, swaras):
        off += STRAYS if surely_breaks(raga, swaras) is None else SURELY_STRAYS
    return off


def _played(fresh: Fresh, heard: Heard, raga: Raga, lasts_s: float, tala: Tala | None) -> Played:
    """A passage by what the description names."""
    patterns = _jhalas()
    gats = {gat.name: gat for gat in mizrab().gats}
    if heard.ends and tala:
        return tihai_of(fresh, heard, raga, lasts_s=lasts_s, tala=tala)
    if heard.bols in patterns and heard.pulse:
        pattern = patterns[heard.bols]
        return jhala_of(fresh, heard, raga, pattern, lasts_s=lasts_s, tala=tala)
    if heard.bols in gats and tala:
        return gat_of(fresh, heard, raga, gats[heard.bols], lasts_s=lasts_s, tala=tala)
    if heard.comes_round and tala:
        return own_gat_of(fresh, heard, raga, lasts_s=lasts_s, tala=tala)
    if heard.run and tala:
        return tan_of(fresh, heard, raga, lasts_s=lasts_s, tala=tala)
    if heard.pulse:
        return on_pulse(fresh, heard, raga, lasts_s=lasts_s, tala=tala)
    return unpulsed(fresh, heard, raga, lasts_s=lasts_s)


@cache
def _jhalas() -> Mapping[str, Jhala]:
    return {pattern.name: pattern for pattern in mizrab().jhalas}


def _tala(fresh: Fresh, names: tuple[str, ...], known: Mapping[str, Tala]) -> Tala | None:
    if not names:
        return None
    usual = len(names) == 1 or fresh.between(0, 1) < OFTEN_USUAL
    return known[names[0] if usual else fresh.one_of(names[1:])]


def _struck(fresh: Fresh, score: Score, played: Played) -> Score:
    """The score as the right hand strikes it on this day, and its theka."""
    whole = fresh.between(-WHOLE_BRIGHTNESS_SPREAD, WHOLE_BRIGHTNESS_SPREAD)
    ways = {
        round(float(at) * 60.0 / played.matras_per_min, 6): way for at, way in played.ways.items()
    }

    def varied(stroke: Stroke) -> Stroke:
        level_db, brightness = stroke.level_db, stroke.brightness
        if stroke.voice != "chikari":
            way = mizrab().ways[ways.get(round(stroke.onset_s, 6), IN)]
            level_db, brightness = way.level_db, way.brightness
        level_db += fresh.between(-STROKE_SPREAD_DB, STROKE_SPREAD_DB)
        brightness += whole + fresh.between(-STROKE_BRIGHTNESS_SPREAD, STROKE_BRIGHTNESS_SPREAD)
        return replace(stroke, level_db=level_db, brightness=round(max(-1, min(1, brightness)), 3))

    tabla: tuple[TablaStroke, ...] = ()
    if played.tala:
        tabla = theka_strokes(
            read_theka(played.tala.theka),
            matras_per_min=played.matras_per_min,
            matras=played.theka_matras or played.line.matras,
            from_matra=Fraction(played.from_matra - 1),
            level_db=THEKA_DB,
        )
    return replace(score, strokes=tuple(map(varied, score.strokes)), tabla=tabla)


def _written(played: Played) -> str:
    """The line, and for a tala its name and the matra on which the line begins."""
    if played.tala is None:
        return write(played.line)
    return f"{write(played.line)} ({played.tala.name} from matra {played.from_matra})"


_IN_TALA = re.compile(r"(.*) \((.+) from matra (\d+)\)")


def for_readers(sargam: str) -> str:
    """A passage in writing as it is read in the language in use."""
    found = _IN_TALA.fullmatch(sargam)
    if found is None:
        return in_script(sargam)
    line, tala, matra = found.groups()
    return say(
        "{line} ({tala} from matra {matra})", line=in_script(line), tala=say(tala), matra=matra
    )


def in_turn(passages: tuple[Passage, ...], *, apart_s: float = 0.6) -> Score:
    """Passages one after the other, at the Sa and over the drone of the first, as loud as each is
    by itself."""
    first = passages[0].score
    strokes: list[Stroke] = []
    tabla: list[TablaStroke] = []
    at_s = 0.0
    for each in passages:
        score = turned(each.score, gain_db(each.score))
        strokes += [replace(stroke, onset_s=stroke.onset_s + at_s) for stroke in score.strokes]
        tabla += [replace(stroke, onset_s=stroke.onset_s + at_s) for stroke in score.tabla]
        at_s += score.duration_s - score.lead_s + apart_s
    return made_up(replace(first, strokes=tuple(strokes), tabla=tuple(tabla)))
