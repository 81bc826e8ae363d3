"""The peers by the name that is printed, what each is made with, and the settings to choose from.

A library is imported only where a peer that needs it is made.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from importlib import import_module
from typing import Any

from scheduler import Item
from tests.benchmarks.simulated.practice import Make, Way

Settings = Mapping[str, Any]
"""Keyword arguments of a peer's class; one that is None is left out."""

_NEW_A_DAY = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0, 15.0, None)


@dataclass(frozen=True)
class Named:
    """A class in a module of this package, and the values that each of its settings may have."""

    module: str
    name: str
    always: Settings = field(default_factory=dict)
    space: Mapping[str, Sequence[Any]] = field(default_factory=dict)
    starts: Sequence[Settings] = ()
    """Settings that the search tries before any others."""
    library: bool = False

    def make(self, settings: Settings) -> Make:
        given = {name: value for name, value in settings.items() if value is not None}
        return partial(self._made, {**self.always, **given})

    def _made(self, given: Settings, items: Sequence[Item], seed: int) -> Way:
        kind = getattr(import_module(f"{__package__}.{self.module}"), self.name)
        way: Way = kind(items, seed, **given)
        return way


_STEPS = {
    "first": (1.0, 2.0, 3.0),
    "factor": (1.2, 1.4, 1.7, 2.0, 2.3, 3.0),
    "today": (0, 1, 2),
    "new_a_day": _NEW_A_DAY,
    "new_first": (False, True),
}
_FSRS = {
    "retention": (0.7, 0.8, 0.85, 0.9, 0.93, 0.95, 0.97),
    "steps": (False, True),
    "by_recall": (True, False),
    "introduced_as": ("again", "hard", "good"),
    "power": (None, 0.3, 0.6),
    "new_a_day": _NEW_A_DAY,
    "new_first": (False, True),
}
_EBISU = {
    "half_life": (0.1, 0.25, 0.5, 1.0, 2.0, 4.0),
    "alpha": (1.5, 2.0, 3.0, 4.0, 6.0),
    "target": (None, 0.5, 0.6, 0.7, 0.8, 0.9),
    "new_above": (0.0, 0.3, 0.45, 0.55, 0.65, 0.75, 0.85, 0.92),
    "new_a_day": _NEW_A_DAY,
}

_START = {"first": 1.0, "factor": 2.3, "today": 1, "new_a_day": 10.0, "new_first": True}
_BOXED = {"boxes": 5, "one_down": False, "early": False}
_STEPS_STARTS = (
    _START,
    {**_START, "factor": 1.4, "today": 2, "new_a_day": 15.0},
    {**_START, "factor": 1.2, "new_a_day": None},
)
_FSRS_START = {
    "retention": 0.9,
    "steps": False,
    "by_recall": True,
    "introduced_as": "again",
    "power": None,
    "new_a_day": 10.0,
    "new_first": True,
}
_FSRS_STARTS = (
    _FSRS_START,
    {**_FSRS_START, "retention": 0.95, "introduced_as": "good", "new_a_day": None},
    {**_FSRS_START, "steps": True, "introduced_as": "good", "new_a_day": 4.0, "new_first": False},
)
_EBISU_START = {
    "half_life": 0.5,
    "alpha": 2.0,
    "target": None,
    "new_above": 0.0,
    "new_a_day": None,
}
_EBISU_STARTS = (
    _EBISU_START,
    {**_EBISU_START, "half_life": 1.0, "new_a_day": 10.0},
    {**_EBISU_START, "target": 0.6, "new_above": 0.3, "new_a_day": 4.0},
)

PEERS: Mapping[str, Named] = {
    "random": Named("chance", "AtRandom"),
    "round robin": Named("chance", "InTurn"),
    "in turn, begun": Named("chance", "InTurn", space={"new_a_day": _NEW_A_DAY}),
    "fixed expanding": Named("steps", "FixedSteps", {}, _STEPS, _STEPS_STARTS),
    "boxes": Named(
        "boxes",
        "Boxes",
        {},
        {**_STEPS, "boxes": (3, 4, 5, 7), "one_down": (False, True), "early": (False, True)},
        [{**start, **_BOXED} for start in _STEPS_STARTS],
    ),
    **{
        f"{module}, {how}": Named(
            f"{module}_way",
            f"{module.capitalize()}Way",
            {"with_luck": how == "with luck"},
            space,
            starts,
            library=True,
        )
        for module, space, starts in (
            ("fsrs", _FSRS, _FSRS_STARTS),
            ("ebisu", _EBISU, _EBISU_STARTS),
        )
        for how in ("naive", "with luck")
    },
}
