"""A palta as it is offered to be played on the instrument: its run, rhythm, tala and tempo."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from audio.line import HOLD, REST, Beat, Line, Tone
from audio.tuning import Swara
from quizzes.paltas import Layout, Run, lay
from quizzes.paltas.prastara import count
from quizzes.ragas.turns import spoken
from quizzes.talas import Tala
from words import say

Group = tuple[Swara, ...]
SA, TAR_SA = Swara(0), Swara(0, 1)
NEAR = 2
"""So many semitones below tar Sa a run may turn that goes on to it."""


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
        return say(
            "{swaras}, order {number} of {all}, in {where}",
            swaras=spoken(self.run.up[0]),
            number=self.index + 1,
            all=count(self.n),
            where=self.where,
        )

    @property
    def turn(self) -> Group:
        """Tar Sa between the way up and the way down, where both only come near to it."""
        ends = self.run.up[-1][-1], self.run.down[0][0]
        is_near = max(swara.steps for swara in self.run.swaras) >= TAR_SA.steps - NEAR
        return () if TAR_SA in ends or not is_near else (TAR_SA,)

    @property
    def home(self) -> Group:
        """Sa, which is played on sam at the end."""
        return (SA,)

    @property
    def played(self) -> Line:
        """Up, down, and home to Sa, a matra long."""
        up, down = lay(self.run.up, self.layout), lay(self.run.down, self.layout)
        return Line((*up.items, *_beats(self.turn), *down.items, *_beats(self.home)))

    @property
    def to_home(self) -> Fraction:
        """How many matras it goes before its last Sa."""
        return self.played.matras - len(self.home)

    @property
    def begins(self) -> int:
        """After how many matras from sam on it begins, so that its last Sa falls on sam."""
        return left_to_sam(self.to_home, self.tala)

    @property
    def line(self) -> Line:
        """What is played, after what is waited for from sam on; Sa is held a little."""
        return Line((*[Beat((REST,))] * self.begins, *self.played.items, Beat((HOLD,))))

    @property
    def detail(self) -> dict[str, Any]:
        """What makes it again, for its notes."""
        made = {"n": self.n, "index": self.index, "raga": self.raga, "scale": self.scale}
        return {**made, "layout": self.layout.id, "tala": self.tala.id}


def _beats(swaras: Group) -> list[Beat]:
    return [Beat((Tone(swara),)) for swara in swaras]


def key_of(n: int, index: int) -> str:
    return f"prastara:{n}:{index}"


def left_to_sam(matras: Fraction, tala: Tala) -> int:
    """How many matras lie between so many from sam on and the next sam."""
    return int(-matras % tala.matras)
