"""Jhala: a pattern of the playing string and the chikari over and over, while the raga moves."""

from __future__ import annotations

from collections.abc import Sequence

from audio.line import CHIKARI, HOLD, Part, Tone
from audio.mizrab import NOTE, Jhala
from audio.tuning import Swara
from quizzes.fresh import Fresh
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import MANNERS, lengths_of
from quizzes.stages.measured import cut, drawn_in
from quizzes.stages.phrasing import FEWEST, path_of, phrases
from quizzes.stages.played import Played, bars_of, hand_for, laid_out
from quizzes.stages.stage import Heard
from quizzes.talas import Tala

PARTS = (1, 2, 4, 6, 8)
"""Blows to a pulse, where they are not as many as the pattern has or half of them."""
SWARA_BLOWS = 8
"""About how many blows pass before the swara changes."""


def jhala_of(
    fresh: Fresh, heard: Heard, raga: Raga, pattern: Jhala, *, lasts_s: float, tala: Tala | None
) -> Played:
    """Whole pulses, no more than fill so many seconds; on the last, where the pattern would begin
    anew, only its swara rings."""
    assert heard.tempo is not None
    tempo = round(drawn_in(fresh, heard.tempo), 2)
    blows, notes = len(pattern.pattern), pattern.pattern.count(NOTE)
    low, high = heard.strokes

    def off(parts: int) -> float:
        struck_hz = tempo / 60.0 * parts * notes / blows
        return max(low / struck_hz, struck_hz / high, 1.0)

    parts = min((blows, *[blows // 2] * (blows % 2 == 0), *PARTS), key=off)
    most = max(2, int(lasts_s * tempo / 60.0))
    pulses = next((each for each in range(most, 1, -1) if (each - 1) * parts % blows == 0), most)
    cells = pulses * parts
    struck = [at for at in range(cells) if pattern.pattern[at % blows] == NOTE]
    struck = [at for at in struck if at <= cells - parts]
    each = max(1, round(SWARA_BLOWS * notes / blows))
    wished = max(FEWEST, len(struck) // each)
    count = max(1, min(len(heard.register), wished // FEWEST), wished // 9)
    found = phrases(fresh, raga, path_of(heard.register, count), swaras=wished)
    moved = _moved(raga, found, len(struck))
    line: list[Part] = [CHIKARI if at < cells - parts else HOLD for at in range(cells)]
    for at, swara in zip(struck, moved, strict=True):
        line[at] = Tone(swara)
    return Played(
        laid_out(line, parts, bars=bars_of(tala, 1, pulses)),
        tempo,
        hand_for(0.0),
        {},
        tala,
    )


def _moved(raga: Raga, found: Sequence[Sequence[Swara]], strokes: int) -> list[Swara]:
    """The swaras, each struck once and again as often as the raga dwells on it, so many strokes in
    all."""
    found = cut(found, strokes)
    swaras = [swara for phrase in found for swara in phrase]
    wished = [
        float(length) for phrase in found for length in lengths_of(raga, phrase, MANNERS["medium"])
    ]
    counts = [1] * len(swaras)
    for _ in range(strokes - len(swaras)):
        counts[max(range(len(counts)), key=lambda place: wished[place] / counts[place])] += 1
    return [swara for swara, count in zip(swaras, counts, strict=True) for _ in range(count)]
