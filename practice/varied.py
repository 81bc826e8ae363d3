"""A palta as it is offered to be played on the instrument: its run, rhythm, tala and tempo."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from audio.line import HOLD, Beat, Line, Tone
from audio.tuning import Swara
from quizzes.paltas import Layout, Run, lay
from quizzes.paltas.prastara import count
from quizzes.ragas.turns import spoken
from quizzes.talas import Tala


@dataclass(frozen=True, slots=True)
class Varied:
    """A palta as it is offered. It runs in `raga`, by its id, or where that is "" in the `scale` of
    a that, by its name."""

    n: int
    index: int
    """The place of its order in the prastara of n swaras, from 0."""
    raga: str
    scale: str
    where: str
    """The raga's name, or `the scale of Bilawal`."""
    run: Run
    layout: Layout
    tala: Tala
    tempo: float
    """Matras a minute to begin with."""
    drone: str
    """The first string of its tanpura."""
    told: str = ""
    """What is to be said of it besides: that all orders of a size were given."""
    is_given: bool = False
    """Whether it is noted as given; else it is only offered so far."""

    @property
    def key(self) -> str:
        """By which it is never given again, whatever the raga."""
        return key_of(self.n, self.index)

    @property
    def name(self) -> str:
        """`Ga Sa Re, order 4 of 6, in Yaman`."""
        place = f"order {self.index + 1} of {count(self.n)}"
        return f"{spoken(self.run.up[0])}, {place}, in {self.where}"

    @property
    def home(self) -> tuple[Swara, ...]:
        """Sa, to end on, unless the run itself does."""
        return () if self.run.swaras[-1].letter == "S" else (Swara(0),)

    @property
    def played(self) -> Line:
        """Up and down, and home to Sa."""
        run = lay(self.run.groups, self.layout)
        return Line((*run.items, *(Beat((Tone(swara),)) for swara in self.home)))

    @property
    def line(self) -> Line:
        """The same, the last swara held until sam."""
        line = self.played
        return Line((*line.items, *[Beat((HOLD,))] * left_to_sam(line.matras, self.tala)))

    @property
    def detail(self) -> dict[str, Any]:
        """What makes it again, for its notes."""
        made = {"n": self.n, "index": self.index, "raga": self.raga, "scale": self.scale}
        return {**made, "layout": self.layout.id, "tala": self.tala.id}


def key_of(n: int, index: int) -> str:
    return f"prastara:{n}:{index}"


def left_to_sam(matras: Fraction, tala: Tala) -> int:
    """How many matras lie between so many from sam on and the next sam."""
    return int(-matras % tala.matras)
