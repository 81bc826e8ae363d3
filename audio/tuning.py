"""Swaras to cents to hertz: just intonation, equal temperament, and Scala scale files.

Sa in hertz is a keyword of every function that needs it; nothing here assumes one. Cents are
counted from middle Sa. Sources: the just ratios are those of the 22-note Indian scale in the
Scala archive (`indian.scl`), of which they are a part; the file format is the one published with
the archive (https://www.huygens-fokker.org/scala/scl_format.html).
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path

from audio.errors import TuningError

SWARAS = ("S", "r", "R", "g", "G", "m", "M", "P", "d", "D", "n", "N")
"""The twelve swaras by semitone; small letters are komal, `m` shuddha and `M` tivra Ma."""

SA_HZ_LOWEST, SA_HZ_HIGHEST = 98.0, 330.0
"""The middle Sa that a student may set: from a low vocal Sa to a small sitar's."""

SITAR_SA_HZ = 440.0 * 2 ** (-8 / 12)
"""C sharp 4 with A4 = 440 Hz (ISO 16:1975): the middle Sa of a full-size sitar, at the seventh fret
of a string whose open Ma is near F sharp 3 (doi 10.1121/1.2019587)."""


@dataclass(frozen=True, slots=True, order=True)
class Swara:
    """One of the twelve swaras in a saptak: `octave` is -1 mandra, 0 madhya, 1 tar."""

    semitone: int
    octave: int = 0

    @classmethod
    def read(cls, text: str) -> Swara:
        """Read `R`, `N,` or `S'`; marks may repeat. Raises TuningError."""
        match = re.fullmatch(r"([SrRgGmMPdDnN])('*|,*)", text)
        if match is None:
            raise TuningError(
                f"{text!r} is not a swara: write one of {' '.join(SWARAS)}, "
                "with ' for each octave above or , for each octave below"
            )
        letter, marks = match.groups()
        octave = -len(marks) if marks.startswith(",") else len(marks)
        return cls(SWARAS.index(letter), octave)

    @property
    def letter(self) -> str:
        return SWARAS[self.semitone]

    @property
    def steps(self) -> int:
        """Semitones above middle Sa."""
        return self.semitone + 12 * self.octave

    @classmethod
    def at(cls, steps: int) -> Swara:
        """The swara so many semitones above middle Sa."""
        return cls(steps % 12, steps // 12)

    def __str__(self) -> str:
        return self.letter + ("'" * self.octave if self.octave > 0 else "," * -self.octave)


@dataclass(frozen=True, slots=True)
class Tuning:
    """Cents above Sa of the twelve swaras of one saptak; octaves are pure."""

    name: str
    cents: tuple[float, ...]
    ratios: tuple[Fraction | None, ...] = (None,) * 12

    def __post_init__(self) -> None:
        rising = all(a < b for a, b in zip(self.cents, self.cents[1:], strict=False))
        if len(self.cents) != 12 or self.cents[0] != 0.0 or not rising or self.cents[-1] >= 1200:
            raise TuningError(
                f"the tuning {self.name!r} needs twelve rising values from 0 to below 1200 cents: "
                f"given {self.cents!r}"
            )

    def __hash__(self) -> int:
        """Without the ratios, which take ten times as long: what is kept for a tuning is asked for
        at every stroke."""
        return hash((self.name, self.cents))

    def cents_of(self, swara: Swara) -> float:
        return self.cents[swara.semitone] + 1200.0 * swara.octave

    def ratio_of(self, swara: Swara) -> Fraction | None:
        """The exact ratio to middle Sa where the tuning knows one."""
        ratio = self.ratios[swara.semitone]
        return None if ratio is None else ratio * Fraction(2) ** swara.octave


def hz(cents: float, *, sa_hz: float) -> float:
    """Cents above Sa to hertz."""
    return float(sa_hz * 2.0 ** (cents / 1200.0))


def ratio_cents(ratio: Fraction | float) -> float:
    """The size of a frequency ratio in cents."""
    return 1200.0 * math.log2(ratio)


_JUST_TEXT = "1 16/15 9/8 6/5 5/4 4/3 45/32 3/2 8/5 5/3 9/5 15/8"
_JUST = tuple(map(Fraction, _JUST_TEXT.split()))
JUST = Tuning("just", tuple(ratio_cents(ratio) for ratio in _JUST), _JUST)
EQUAL = Tuning("equal", tuple(100.0 * step for step in range(12)))


@dataclass(frozen=True, slots=True)
class Scale:
    """A Scala file as written: cents (and ratios where written so) of each degree above the first.

    The last degree is the interval at which the scale repeats.
    """

    description: str
    cents: tuple[float, ...]
    ratios: tuple[Fraction | None, ...]


def read_scl(text: str, *, name: str) -> Scale:
    """Parse the text of a Scala `.scl` file.

    `name` stands in messages. Raises TuningError with the line number and the reason.
    """
    lines = [
        (number, line.strip())
        for number, line in enumerate(text.splitlines(), 1)
        if not line.startswith("!")
    ]

    def fail(number: int, reason: str) -> TuningError:
        return TuningError(f"{name}, line {number}: {reason}")

    if len(lines) < 2:
        raise fail(
            len(text.splitlines()) or 1,
            "the file ends early; a scale has a description, a count of notes, then the notes",
        )
    description = lines[0][1]
    count_line, count_text = lines[1]
    match = re.match(r"\d+", count_text)
    if match is None:
        raise fail(count_line, f"{count_text!r} should be the number of notes, such as 12")
    count = int(match.group())
    if len(lines) - 2 < count:
        raise fail(lines[-1][0], f"{count} notes are promised, {len(lines) - 2} are there")
    degrees = [_read_degree(line, number, fail) for number, line in lines[2 : 2 + count]]
    return Scale(
        description, tuple(cents for cents, _ in degrees), tuple(ratio for _, ratio in degrees)
    )


def _read_degree(
    line: str, number: int, fail: Callable[[int, str], TuningError]
) -> tuple[float, Fraction | None]:
    """One pitch line: cents if it holds a period, else a ratio; what follows it is a comment."""
    match = re.match(r"(-?\d*\.\d*)|(-?\d+)(?:\s*/\s*(-?\d+))?", line)
    if match is None or match.group() == ".":
        raise fail(number, f"{line!r} should be cents (701.955) or a ratio (3/2)")
    decimal, numerator, denominator = match.groups()
    if decimal is not None:
        return float(decimal), None
    if denominator is not None and int(denominator) == 0:
        raise fail(number, f"{line!r} divides by nought; write a ratio such as 3/2")
    ratio = Fraction(int(numerator), int(denominator or 1))
    if ratio <= 0:
        raise fail(number, f"{line!r} is not above nought; a ratio such as 3/2 is asked for")
    return ratio_cents(ratio), ratio


SWARA_REACH_CENTS = 60.0
"""How far from its just place a swara may lie in a scale file and still be called by its name."""


def tuning_from_scale(scale: Scale, *, name: str) -> Tuning:
    """Give the twelve swaras their places in a scale.

    The scale repeats at the octave. Each swara takes the degree nearest to its just place, so
    that a scale of 22 shrutis serves as well as one of 12. Raises TuningError when a swara has no
    degree within `SWARA_REACH_CENTS`.
    """
    if not scale.cents or abs(scale.cents[-1] - 1200.0) > 0.5:
        raise TuningError(
            f"{name}: the last note should be the octave, 2/1, so that saptaks repeat; "
            f"it is {scale.cents[-1]:.1f} cents"
            if scale.cents
            else f"{name}: it has no notes"
        )
    degrees = [(0.0, Fraction(1)), *zip(scale.cents[:-1], scale.ratios[:-1], strict=True)]
    chosen = []
    for letter, just in zip(SWARAS, JUST.cents, strict=True):
        cents, ratio = min(degrees, key=lambda degree: abs(degree[0] - just))
        if abs(cents - just) > SWARA_REACH_CENTS:
            raise TuningError(
                f"{name}: no note lies near {letter} ({just:.0f} cents); "
                f"the nearest is {cents:.1f}. Choose a scale that has all twelve swaras"
            )
        chosen.append((cents, ratio))
    return Tuning(name, tuple(cents for cents, _ in chosen), tuple(ratio for _, ratio in chosen))


_IN_WORDS = "places "


def tuning_in_words(tuning: Tuning) -> str:
    """A tuning as one line that `load_tuning` reads again without any file."""
    if tuning in (JUST, EQUAL):
        return tuning.name
    places = zip(tuning.cents, tuning.ratios, strict=True)
    return _IN_WORDS + " ".join(
        repr(cents) if ratio is None else f"{ratio.numerator}/{ratio.denominator}"
        for cents, ratio in places
    )


def needs_no_file(choice: str) -> bool:
    """Whether it is named or written out, and no path."""
    return choice in (JUST.name, EQUAL.name) or choice.startswith(_IN_WORDS)


def _from_words(choice: str) -> Tuning:
    """Each place is a ratio, with a stroke in it, or cents."""
    ratios = [
        Fraction(place) if "/" in place else None
        for place in choice.removeprefix(_IN_WORDS).split()
    ]
    cents = [
        float(place) if ratio is None else ratio_cents(ratio)
        for place, ratio in zip(choice.removeprefix(_IN_WORDS).split(), ratios, strict=True)
    ]
    return Tuning("scale", tuple(cents), tuple(ratios))


@cache
def load_tuning(choice: str) -> Tuning:
    """The tuning named `just` or `equal`, written out by `tuning_in_words`, or of a `.scl` file.

    Raises TuningError with what can be written instead.
    """
    for tuning in (JUST, EQUAL):
        if choice == tuning.name:
            return tuning
    if choice.startswith(_IN_WORDS):
        try:
            return _from_words(choice)
        except (ValueError, ZeroDivisionError) as error:
            raise TuningError(f"{choice!r}: twelve ratios or cents should follow") from error
    path = Path(choice)
    try:
        text = path.read_text(encoding="latin-1")  # the archive's own encoding
    except OSError as error:
        raise TuningError(
            f"{choice}: {error.strerror or error}; write just, equal, or the path of a .scl file"
        ) from error
    return tuning_from_scale(read_scl(text, name=path.name), name=path.stem)
