"""A score: what is to be heard, as plain data.

Times are seconds from the start of the score, pitches are cents above Sa, levels are decibels
relative to the level to which every voice is adjusted (see `loudness`). One `Stroke` is one
unbroken vibration of one string: whatever bends its pitch stands in its path.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

Breakpoint = tuple[float, float]
"""(seconds after the stroke's onset, cents above Sa)"""


@dataclass(frozen=True, slots=True)
class Stroke:
    """One stroke of the mizrab.

    The pitch runs in straight lines, in cents, from breakpoint to breakpoint and stays at the
    last; the first breakpoint stands at 0.0. After `duration_s` the string is damped.
    """

    onset_s: float
    duration_s: float
    path: tuple[Breakpoint, ...]
    level_db: float = 0.0
    brightness: float = 0.0
    """Where along the string it is plucked: -1 (dull, far from the bridge) to 1 (bright)."""
    voice: str = "sitar"
    tags: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        times = [time for time, _ in self.path]
        if not times or times[0] != 0.0 or (len(times) > 1 and times != sorted(set(times))):
            raise ValueError(
                f"a stroke's path starts at 0.0 s and its times rise: given {self.path!r}"
            )
        if self.onset_s < 0 or self.duration_s <= 0:
            raise ValueError(
                f"a stroke needs onset_s >= 0 and duration_s > 0: "
                f"given {self.onset_s!r} and {self.duration_s!r}"
            )
        if not -1 <= self.brightness <= 1:
            raise ValueError(f"brightness lies in -1 to 1: given {self.brightness!r}")

    @property
    def end_s(self) -> float:
        return self.onset_s + self.duration_s

    def louder(self, db: float) -> Stroke:
        """The same by so much louder; many are, and `replace` takes twice as long."""
        return Stroke(
            self.onset_s,
            self.duration_s,
            self.path,
            round(self.level_db + db, 3),
            self.brightness,
            self.voice,
            self.tags,
        )


@dataclass(frozen=True, slots=True)
class TablaStroke:
    """One stroke on the pair of drums; `bol` is one of `audio.voices.tabla.BOLS`."""

    onset_s: float
    bol: str
    level_db: float = 0.0

    def __post_init__(self) -> None:
        if self.onset_s < 0:
            raise ValueError(f"a tabla stroke needs onset_s >= 0: given {self.onset_s!r}")

    def louder(self, db: float) -> TablaStroke:
        return TablaStroke(self.onset_s, self.bol, round(self.level_db + db, 3))


@dataclass(frozen=True, slots=True)
class Clip:
    """One recording, by the name of its file (see `recordings`), from beginning to end.

    It lasts `seconds`, as `recordings.seconds_of` says; of a longer file no more is heard. Neither
    voice, tuning nor body touch it. `level_db` is relative to the level of every recording.
    """

    name: str
    seconds: float
    onset_s: float = 0.0
    level_db: float = 0.0

    def __post_init__(self) -> None:
        if not self.name.strip(".") or any(sign in self.name for sign in "/\\:\0"):
            raise ValueError(f"a clip names a file without its folder: given {self.name!r}")
        if not (0 < self.seconds < math.inf and 0 <= self.onset_s < math.inf):
            raise ValueError(
                f"a clip needs seconds > 0 and onset_s >= 0: "
                f"given {self.seconds!r} and {self.onset_s!r}"
            )
        if not math.isfinite(self.level_db):
            raise ValueError(f"a clip's level_db is a number: given {self.level_db!r}")

    @property
    def end_s(self) -> float:
        return self.onset_s + self.seconds


@dataclass(frozen=True, slots=True)
class Drone:
    """A tanpura of four strings: the first as asked, two of middle Sa, one of low Sa.

    `first` is the swara of the first string, "P", "m" or "N" (of the lower octave). The drone is
    tuned by ear, that is just, whatever tuning the cue is in. `level_db` is relative to the
    drone's own usual level.
    """

    first: str = "P"
    level_db: float = 0.0

    def __post_init__(self) -> None:
        if self.first not in ("P", "m", "N"):
            raise ValueError(f"the first string is P, m or N: given {self.first!r}")


@dataclass(frozen=True, slots=True)
class Score:
    """Strokes, a theka and recordings over an optional drone; cents refer to the middle Sa,
    `sa_hz`."""

    sa_hz: float
    strokes: tuple[Stroke, ...]
    drone: Drone | None = None
    lead_s: float = 0.0
    """Drone alone before the strokes; all onsets are shifted by it."""
    tabla: tuple[TablaStroke, ...] = ()
    clips: tuple[Clip, ...] = ()

    @property
    def is_silent(self) -> bool:
        """Whether nothing sounds but the drone, if there is one."""
        return not (self.strokes or self.tabla or self.clips)

    @property
    def duration_s(self) -> float:
        """Until the last string is damped, the last drum struck and the last recording over,
        without what rings on."""
        ends = [stroke.end_s for stroke in self.strokes]
        ends += [stroke.onset_s for stroke in self.tabla]
        ends += [clip.end_s for clip in self.clips]
        return self.lead_s + max(ends, default=0.0)
