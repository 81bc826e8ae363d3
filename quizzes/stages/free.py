"""A stage without a pulse: unhurried phrases of the raga, long held, a breath between them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from audio.line import CHIKARI, REST, Beat, Line, Tone
from audio.tuning import Swara
from quizzes.fresh import Fresh
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import MANNERS, hand_of, lengths_of
from quizzes.stages.adorning import adorned
from quizzes.stages.measured import cut
from quizzes.stages.phrasing import FEWEST, path_of, phrases
from quizzes.stages.played import Played
from quizzes.stages.stage import Heard

GAIT = "grave"
"""Whatever the raga's own: a stage without a pulse is not hurried."""
PHRASE_S = 5.0
"""About how long a phrase lasts."""
BREATH_S = 0.5, 1.3
"""Between phrases; the drone and what rings are heard."""
LONGER = 1.7
"""By how much a swara may be longer, or shorter, than the next like it: no beat is kept."""
LAST_LONGER = 1.5
"""By how much the last swara of a phrase is longer still."""
SHORTEST_S = 0.4
"""What is hardly touched lasts so long."""
RINGS = 0.25
"""The share of the last swara of a phrase that rings after each blow on the chikari."""
UNEVEN = 0.8, 1.25
"""By how much one such share may be shorter or longer than another."""
GRAIN = 1000
"""Lengths are so many parts of a second."""


def unpulsed(fresh: Fresh, heard: Heard, raga: Raga, *, lasts_s: float) -> Played:
    """A line of seconds, lasting so long."""
    share = fresh.between(*heard.ornaments)
    strokes = fresh.between(*heard.strokes) * lasts_s
    count = max(1, min(round(lasts_s / PHRASE_S), round(strokes / FEWEST)))
    if lasts_s / len(heard.register) >= 0.6 * PHRASE_S:
        count = max(count, len(heard.register))
    # Some swaras have no stroke of their own, since they are drawn from the one before them.
    wished = max(FEWEST * count if count > 1 else 2, round(strokes * (1 + 0.5 * share)))
    found = cut(
        phrases(fresh, raga, path_of(heard.register, count), swaras=wished, gait=GAIT), wished
    )
    breaths = [fresh.between(*BREATH_S) for _ in found[1:]]
    lengths = _lengths(fresh, raga, found, lasts_s - sum(breaths))
    tones = [
        adorned(fresh, raga, phrase, held, share, shaken=heard.shaken)
        for phrase, held in zip(found, lengths, strict=True)
    ]
    struck = sum(not tone.by for phrase in tones for tone in phrase)
    part = fresh.between(*heard.chikari)
    marked = _marked(fresh, len(found), round(struck * part / (1 - part)))
    items: list[Beat | str] = []
    for number, (phrase_tones, held) in enumerate(zip(tones, lengths, strict=True)):
        items += _phrase(fresh, phrase_tones, held, marked.count(number))
        if number < len(breaths):
            items.append(Beat((REST,), _seconds(breaths[number])))
    return Played(Line(tuple(items)), 60.0, hand_of(GAIT))


def _lengths(
    fresh: Fresh, raga: Raga, found: Sequence[Sequence[Swara]], lasts_s: float
) -> list[list[float]]:
    """How many seconds each swara of each phrase is held, all together so long: as the raga dwells
    on them, and no two quite alike."""
    wished = [
        [
            float(matras) * math.exp(fresh.between(-1, 1) * math.log(LONGER))
            for matras in lengths_of(raga, phrase, MANNERS[GAIT])
        ]
        for phrase in found
    ]
    for each in wished:
        each[-1] *= LAST_LONGER
    swaras = sum(map(len, found))
    least_s = min(SHORTEST_S, 0.5 * lasts_s / swaras)
    pace = (lasts_s - least_s * swaras) / sum(map(sum, wished))
    return [[least_s + pace * length for length in each] for each in wished]


def _phrase(
    fresh: Fresh, tones: Sequence[Tone], lasts_s: Sequence[float], blows: int
) -> list[Beat]:
    """The tones, and while the last one rings so many blows on the chikari."""
    *before, last_s = lasts_s
    rings_s = RINGS * blows * last_s
    shares = [fresh.between(*UNEVEN) for _ in range(blows)]
    held = [*before, last_s - rings_s]
    beats = [Beat((tone,), _seconds(length)) for tone, length in zip(tones, held, strict=True)]
    beats += [Beat((CHIKARI,), _seconds(rings_s * share / sum(shares))) for share in shares]
    return beats


def _marked(fresh: Fresh, phrases: int, blows: int) -> list[int]:
    """After which phrases the chikari are struck, at most twice each."""
    return fresh.shuffled([*range(phrases), *range(phrases)])[:blows]


def _seconds(length_s: float) -> Fraction:
    return Fraction(max(1, round(length_s * GRAIN)), GRAIN)
