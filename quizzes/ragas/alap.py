"""A few unhurried phrases of a raga: from its lower part up to the vadi, and to rest on Sa.

Between its phrases there is a breath in which nothing is played, and at its end the chikari are
struck; nothing is measured by a tala.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from audio.line import CHIKARI, HOLD, REST, Beat, Line
from audio.playing import RING_S
from audio.score import Score
from audio.tuning import Swara
from quizzes.fresh import Fresh
from quizzes.ragas.growing import grow
from quizzes.ragas.movement import Swaras, admits
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import explained_cue, hand_of, raga_line, swung_in

FEWEST, MOST = 3, 5
"""How many swaras a phrase has, where its raga allows."""
MOST_ON = 8
"""The same of the later ones: from some ragas' phrases it is a longer way to vadi or Sa."""
LONGER = 1.0
"""What a phrase is marked down by for every swara above MOST."""
DRAWN = 30
"""Phrases of which the best is taken, at each place."""
GAIT = "grave"
"""Whatever the raga's own: an alap begins slowly."""
LAST_MATRAS, BREATH_MATRAS = Fraction(9, 4), Fraction(3, 4)
"""The last swara of a phrase; then, for 0.5 s to 0.9 s, the drone and what rings in it."""
LONGEST_MATRAS = 24
"""So much is still unhurried; the first of three phrases is left out where they take more."""
LASTS_S = 14.0, 18.0
LEAD_S = 1.2
"""The drone alone."""
SLOWEST, FASTEST = 54.0, 86.0
"""In matras a minute."""
NEAR_STEPS = 7
"""Semitones from the end of a phrase to the beginning of the next, if possible."""
RISE_STEPS = 4
"""Semitones that the phrase to the vadi rises at least, if possible."""
STILL = 4.0
"""What a phrase is marked down by for every swara that the raga swings and that has not swung."""
FAULT = 10.0
"""What a phrase is marked down by where it does not fit at all."""

Marked = Callable[[Swaras], float]
"""How ill a phrase fits its place."""


def alap(fresh: Fresh, raga: Raga, *, sa_hz: float, tuning: str) -> Score:
    """It lasts about 12 to 20 seconds, over the raga's own drone."""
    return played(fresh, raga, alap_line(fresh, raga), sa_hz=sa_hz, tuning=tuning)


def played(fresh: Fresh, raga: Raga, line: Line, *, sa_hz: float, tuning: str) -> Score:
    """An alap's line as it sounds, about as long whichever raga it is."""
    pace = 60.0 * float(line.matras) / (fresh.between(*LASTS_S) - RING_S - LEAD_S)
    score = explained_cue(
        line,
        sa_hz=sa_hz,
        tuning=tuning,
        drone=raga.drone,
        matras_per_min=round(min(max(pace, SLOWEST), FASTEST), 2),
        hand=hand_of(GAIT),
        raga=raga,
    )
    return replace(score, lead_s=LEAD_S)


def alap_line(fresh: Fresh, raga: Raga) -> Line:
    """Two or three phrases, each treated as the raga wants it."""
    low = _best(fresh, raga, (), {*raga.nyas.value, "S"}, _lies_low, most=MOST)
    rise = _best(fresh, raga, low, {goal_of(raga)}, _rises, most=MOST_ON)
    rest = _best(fresh, raga, (*low, *rise), {"S"}, _comes_down, most=MOST_ON)
    lines = [
        _ended(raga_line(fresh, raga, each, gait=GAIT), chikari=each is rest)
        for each in (low, rise, rest)
    ]
    if sum(line.matras for line in lines) > LONGEST_MATRAS:
        del lines[0]
    breath = Beat((REST,), BREATH_MATRAS)
    return Line(tuple(item for line in lines for item in (*line.items, breath))[:-1])


def goal_of(raga: Raga) -> str:
    """The vadi; the samvadi where that is Sa, to which the alap comes home."""
    vadi, samvadi = raga.vadi.value
    return samvadi if vadi == "S" else vadi


def _best(
    fresh: Fresh,
    raga: Raga,
    before: Swaras,
    ends: set[str],
    marked: Marked,
    *,
    most: int,
) -> tuple[Swara, ...]:
    """The phrase that follows best on what came before it."""

    def fault(swaras: Swaras) -> float:
        far = abs(swaras[0].steps - before[-1].steps) if before else 0
        joined = admits(raga, (*before, *swaras))
        plain = {*raga.andolan.value} - swung_in(raga, before) - swung_in(raga, swaras)
        return (
            marked(swaras)
            + STILL * len(plain)
            + LONGER * max(0, len(swaras) - MOST)
            + max(0, far - NEAR_STEPS)
            + (0.0 if joined else FAULT)
        )

    drawn = [
        grow(fresh, raga, fewest=FEWEST, most=most, saptak=saptak, ends_on=frozenset(ends))
        for saptak in ("mandra", "madhya")
        for _ in range(DRAWN // 2)
    ]
    return min(drawn, key=fault)


def _lies_low(swaras: Swaras) -> float:
    return max(0.0, sum(swara.steps for swara in swaras) / len(swaras))


def _rises(swaras: Swaras) -> float:
    """To a swara of the middle saptak, from well below, and to nothing much above it."""
    steps = [swara.steps for swara in swaras]
    short = max(0, RISE_STEPS - (steps[-1] - min(steps)))
    return short + max(steps) - steps[-1] + FAULT * (not 0 < steps[-1] < 12)


def _comes_down(swaras: Swaras) -> float:
    return 2 * FAULT * (swaras[-1].steps != 0) + FAULT * (swaras[0].steps <= 0)


def _ended(line: Line, *, chikari: bool) -> Line:
    """The last swara is held, at the very end while the chikari are struck."""
    *_, last = line.notes()
    parts = (last.tone, HOLD, CHIKARI) if chikari else (last.tone,)
    return Line((*line.items[:-1], Beat(parts, LAST_MATRAS)))
