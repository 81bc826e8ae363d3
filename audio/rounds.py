"""A theka round after round, as blocks that are made as they are wanted, without end if need be.

A new tempo is taken up at a sam and nowhere else, and so is the end: the sam is struck once more
and rings out. Places are matras since sam, lengths are exact, and each stroke is rounded once, so
that nothing drifts however long it goes on.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from audio.format import BLOCK_FRAMES, SAMPLE_RATE
from audio.headroom import safe_gain, theka_db
from audio.score import Score, TablaStroke
from audio.theka import Theka, theka_strokes
from audio.voices.tabla import RING_FRAMES, STOP_FRAMES, DrumStroke, hits
from audio.voices.timbre import Float32s


@dataclass(frozen=True, slots=True)
class Round:
    """One cycle: the frame at which its sam falls, how many matras it has, and how many a
    minute."""

    begins: Fraction
    matras: int
    matras_per_min: Fraction

    @property
    def ends(self) -> Fraction:
        """The frame of the next sam."""
        return self.begins + SAMPLE_RATE * 60 * self.matras / self.matras_per_min

    @property
    def ends_s(self) -> float:
        return float(self.ends / SAMPLE_RATE)

    def place_at(self, second: float) -> float:
        """The place that sounds at a second of the whole."""
        since_s = second - float(self.begins / SAMPLE_RATE)
        return since_s * float(self.matras_per_min) / 60.0


class Rounds:
    """The rounds of one theka from its first sam on, with nothing over it.

    Without `rounds` they go on until `end` is called; so many are laid out at once and keep their
    tempo, after which the next sam is struck only where it `lands`. `tempo`, in matras a minute,
    may be set at any time and from any thread. Raises ValueError for one that no theka has.
    """

    def __init__(
        self,
        theka: Theka,
        *,
        sa_hz: float,
        matras_per_min: float,
        level_db: float = 0.0,
        rounds: int | None = None,
        lands: bool = True,
    ) -> None:
        self.tempo = matras_per_min
        self.frames: int | None = None
        """Of the whole, once its end is known."""
        self._theka, self._sa_hz, self._level_db = theka, sa_hz, level_db
        self._rounds: list[Round] = []
        self._struck: list[tuple[int, TablaStroke]] = []
        self._drums: list[tuple[int, DrumStroke]] = []
        self._is_to_end, self._lands = False, lands
        alone = Score(sa_hz, (), tabla=self._strokes(matras_per_min))
        self._gain = safe_gain(alone) * 10.0 ** (theka_db(alone) / 20.0)
        for _ in range(1 if rounds is None else rounds):
            self._lay_round()
        if rounds is not None:
            self._lay_end()

    def end(self) -> None:
        """Let it end at the next sam that is not laid out yet: about a second from what sounds."""
        self._is_to_end = True

    def at(self, second: float) -> Round | None:
        """The round that sounds at a second of the whole; None before the first and after the
        last, and where it is not laid out yet."""
        frame = Fraction(second) * SAMPLE_RATE
        laid = reversed(self._rounds)
        return next((each for each in laid if each.begins <= frame < each.ends), None)

    @property
    def last(self) -> Round | None:
        """The last round that is laid out."""
        return self._rounds[-1] if self._rounds else None

    def blocks(self) -> Iterator[Float32s]:
        """The sound; to be read once."""
        start = 0
        while self.frames is None or start < self.frames:
            stop = start + BLOCK_FRAMES
            self._lay_out(stop + STOP_FRAMES, start)
            if self.frames is not None:
                stop = min(stop, self.frames)
            yield self._piece(start, stop)
            start = stop

    @property
    def _sam(self) -> Fraction:
        """The frame of the first sam that is not laid out."""
        return self._rounds[-1].ends if self._rounds else Fraction(0)

    def _strokes(self, matras_per_min: float) -> tuple[TablaStroke, ...]:
        """Of one round."""
        matras = len(self._theka.matras)
        return theka_strokes(
            self._theka, matras_per_min=matras_per_min, matras=matras, level_db=self._level_db
        )

    def _lay_out(self, until: int, start: int) -> None:
        """All up to this frame, so that it is known when each drum that sounds is struck again."""
        is_new = not self._drums
        while self.frames is None and self._sam < until:
            if self._is_to_end and self._rounds:
                self._lay_end()
            else:
                self._lay_round()
            is_new = True
        if is_new:
            self._struck = [each for each in self._struck if each[0] + RING_FRAMES > start]
            self._drums = [
                (hit.onset, hit.begin(sa_hz=self._sa_hz, gain=self._gain))
                for hit in hits(self._struck)
            ]

    def _lay_round(self) -> None:
        sam, tempo = self._sam, self.tempo
        strokes = self._strokes(tempo)
        matras = len(self._theka.matras)
        self._rounds.append(Round(sam, matras, Fraction(tempo)))
        self._struck += [(round(sam + Fraction(s.onset_s) * SAMPLE_RATE), s) for s in strokes]

    def _lay_end(self) -> None:
        sam = round(self._sam)
        if self._lands:
            at_sam = (bol for at, bol in self._theka.onsets() if at == 0)
            self._struck += [(sam, TablaStroke(0.0, bol, self._level_db)) for bol in at_sam]
        self.frames = sam + RING_FRAMES

    def _piece(self, start: int, stop: int) -> Float32s:
        piece = np.zeros(stop - start, np.float32)
        for onset, drum in self._drums:
            if onset < stop and onset + drum.frames > start:
                into = max(start, onset)
                drum.add_to(piece[into - start :], into - onset)
        return piece
