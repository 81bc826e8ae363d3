"""How fast and how long notes in a layakari are heard over a theka, and what that alone tells.

How closely the notes follow each other, and how closely the strokes of the theka, are spread alike
about each ratio, so that neither alone tells much; what it still tells is reckoned as luck.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache

ALONE = 2
"""So many matras of the theka before the sitar comes in."""
LASTING_S = tuple(Fraction(tenths, 10) for tenths in range(80, 126))
"""How long a cue lasts, whichever layakari it is: so length tells nothing."""
FEWEST = 3
"""So many matras with the sitar, at least."""
MIDDLE_HZ = (0.9, 3.5)
"""Between these lies the geometric mean of how many notes and how many matras sound in a second: so
either of them alone is moved by but half of what is asked."""
KEENLY = 1.1
"""Who goes by one of them alone tells tempos apart that differ so much, as by times."""


def meeting(ratios: Iterable[Fraction]) -> int:
    """After so many matras a note falls on a stroke again in each of these."""
    return math.lcm(*(ratio.denominator for ratio in ratios))


def lengths(ratio: Fraction, lasts_s: Fraction, meet: int) -> dict[int, float]:
    """How many matras a cue of so many seconds may have, so that note and stroke meet at its end,
    and how often it has so many."""
    least = ALONE + -(-FEWEST // meet) * meet
    low, high = (float(lasts_s) * hz / math.sqrt(ratio) for hz in MIDDLE_HZ)
    fitting = [matras for matras in range(least, int(high) + 1, meet) if matras >= low] or [least]
    # Evenly by ratio, not by number, so that no layakari has more fast tempos than another.
    weights = [1 / matras for matras in fitting]
    return {matras: each / sum(weights) for matras, each in zip(fitting, weights, strict=True)}


@lru_cache(maxsize=256)
def luck_of(ratios: tuple[Fraction, ...], meet: int) -> float:
    """How often one is right who knows which ratios it may be, and hears nothing but how closely
    the strokes follow each other, or nothing but how closely the notes do."""
    tempos: dict[int, list[float]] = {}
    notes: dict[int, list[float]] = {}
    for index, ratio in enumerate(ratios):
        for lasts_s in LASTING_S:
            for matras, often in lengths(ratio, lasts_s, meet).items():
                for heard, per_s in ((tempos, 1), (notes, ratio)):
                    step = round(math.log(matras / lasts_s * per_s, KEENLY))
                    heard.setdefault(step, [0.0] * len(ratios))[index] += often
    every = len(LASTING_S) * len(ratios)
    return max(sum(map(max, heard.values())) / every for heard in (tempos, notes))
