"""What a question is, and what every kind of question can do."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field, fields
from itertools import pairwise
from typing import Any, Protocol

from audio.errors import SargamError
from audio.line import Line
from audio.sargam import parse
from audio.score import Score
from quizzes.explanation import Explanation
from quizzes.levels import Level
from quizzes.wheel import Wheel


@dataclass(frozen=True, slots=True)
class Skill:
    """One thing that can be known or not.

    `id` is `kind:detail`, such as `swara:R` or `gap:R-P:up`; logs hold it for ever. `cluster`
    gathers skills that are easily taken for one another; `chance` is the usual chance of a lucky
    guess and `seconds` the usual time of one question, both for planning only. Skills of one `kin`
    lend each other a little of what an answer says: the same gap in another direction, the same
    swara in another saptak, the same raga by another evidence, the same tala by another question;
    "" lends nothing. Kinds leave it out: `quizzes.kin` fills it in.
    """

    id: str
    kind: str
    name: str
    family: str
    cluster: str
    chance: float
    seconds: float
    kin: str = ""


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer that can be given: `id` goes to the log, `label` to the screen.

    `skill` is the skill that this answer would have shown, where there is one, so that what was
    heard for what can be kept.
    """

    id: str
    label: str
    skill: str | None = None


@dataclass(frozen=True, slots=True)
class Setting:
    """Everything beside skill and seed that a question is made from; it stands in the log.

    `met` are the skills begun by this student, `rivals` those that this student confuses with the
    one asked, the worst first. `level` is how large a difference is asked, in the unit of the kind
    (cents for `tune`).
    """

    sa_hz: float
    tuning: str = "just"
    names: str = "swara"
    """How gaps are named: "swara", or "size" to add semitones, ratio and Western name."""
    met: tuple[str, ...] = ()
    rivals: tuple[str, ...] = ()
    level: float | None = None
    tradition: str = ""
    """A teacher's words, as `quizzes.tradition` reads them; "" for none."""
    ragas: tuple[str, ...] = ()
    """The ragas that this student has begun, for kinds that play in one of them; () for any."""
    stages: tuple[str, ...] = ()
    """The stages of a performance of which this student has been asked, for kinds that ask of
    several at once."""
    talas: tuple[str, ...] = ()
    """The talas that this student has begun, for kinds that play or ask in one of them; () for
    any."""
    deck: str = ""
    """The question of a teacher's deck that is asked, as `quizzes.decks.asking` writes it, so that
    it can be made again when the deck is gone; "" for none."""

    def as_json(self) -> dict[str, Any]:
        return asdict(self)

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Setting:
        """From a row of a log, older or newer than this; what is not known here is left out."""
        known = {field.name for field in fields(cls)}
        named = {_FORMER_NAMES.get(name, name): value for name, value in data.items()}
        now = {name: value for name, value in named.items() if name in known}
        lists = {name: tuple(now.get(name, ())) for name in _LISTS}
        return cls(**{**now, **lists})


_FORMER_NAMES = {"level_cents": "level"}
"""Names of fields as older logs have them."""

_LISTS = ("met", "rivals", "ragas", "stages", "talas")

SIGNS = ("saptaks", "lengths", "hands", "shades")
"""Octave marks; holds, rests and other lengths; what the left hand does; loudness and tone."""

KEYS_APART = " "
"""Between the keys of a written answer."""


@dataclass(frozen=True, slots=True)
class Question:
    """One fresh occasion to show a skill. The same skill, seed and setting make it again."""

    kind: str
    skill: str
    seed: int
    setting: Setting
    prompt: str
    choices: tuple[Choice, ...]
    right: tuple[str, ...]
    """Ids of the choices that are right; any one of them is. Of a set or a line, each is whole."""
    cue: Score
    sargam: str
    """The cue in writing, for logs and for readers; "/" stands between two parts."""
    answer_on: str = "choices"
    """"string" (touch a fret), "choices" (touch a name), "written" (the choices are the keys of a
    pad, and the answer is a line of their ids with single spaces between them), "order" (such a
    line with each of the choices once), "shares" (the `whole` shared out among the choices: whole
    numbers from 1, in the order of the choices, with single spaces between them), "wheel" (touch a
    matra of `wheel`; the choices are "1", "2" and on, of a blind wheel its points), "taps" (touch
    in time with the cue: whole milliseconds since the beginning of its score, which rise, with
    single spaces between them), "several" (a set of choices, sent together: their ids in the
    order of the choices, with single spaces between them) or "sargam" (a line of sargam of the
    student's own: the choices are the letters of its swaras, `signs` what else may stand in it, and
    it has `fewest` to `places` notes)."""
    detail: Mapping[str, Any] = field(default_factory=dict)
    """What the kind needs for marking and explaining; JSON values only."""
    possible: tuple[str, ...] | None = None
    """Ids of the choices that a student who hears nothing, but remembers what has been asked so
    far, could not rule out; None where all are possible."""
    luck: float = 0.0
    """How often such a student is right where that is oftener than by picking one of the possible:
    where some of them are seldom right, more orders are right than `right` lists, or a right line
    is shorter than `places`."""
    places: int = 0
    """How many keys a written answer takes at most; of an order, how many things it has."""
    fewest: int = 1
    """How many a pad waits for before it can be sent; a shorter line of a log is marked as well."""
    signs: tuple[str, ...] = ()
    """Of SIGNS, what may stand in a line of sargam beside plain swaras of one matra each."""
    told: str = ""
    """What a line of sargam begins with on the pad, such as a phrase that is to be varied."""
    lines: int = 0
    """How many lines such a student could not rule out where the answer is written, put in order or
    shared out; 0 for all. Only what is written or put in order may leave it out."""
    whole: int = 0
    """What is shared out, such as the minutes of a performance."""
    wheel: Wheel | None = None
    """A cycle that is drawn while the question is asked."""

    @property
    def chance(self) -> float:
        """The chance of a lucky guess among the choices that are possible."""
        keys = len(self.choices)
        if self.is_line:
            every = keys**self.places if self.answer_on == "written" else math.factorial(keys)
            return max(self.luck, len(self.right) / (self.lines or every))
        if self.answer_on == "several":
            return 1 / ((1 << keys) - 1)
        if self.answer_on == "shares":
            return 1 / self.lines
        if self.answer_on in ("taps", "sargam"):
            return self.luck
        possible = self.choices if self.possible is None else self.possible
        return max(self.luck, len(self.right) / len(possible))

    def choice(self, choice_id: str) -> Choice:
        """Raises KeyError for an id that was not offered."""
        for choice in self.choices:
            if choice.id == choice_id:
                return choice
        raise KeyError(choice_id)

    @property
    def is_line(self) -> bool:
        """Whether the answer is a line of the choices: written with keys, or put in order."""
        return self.answer_on in ("written", "order")

    def written(self, given: str) -> tuple[str, ...]:
        """The keys of a line. Raises KeyError for one that could not be given."""
        keys = tuple(given.split(KEYS_APART))
        if not 1 <= len(keys) <= self.places:
            raise KeyError(given)
        return tuple(self.choice(key).id for key in keys)

    def line_given(self, given: str) -> Line:
        """The line of sargam that was given. Raises KeyError for one that could not be given."""
        try:
            line = parse(given)
        except SargamError as error:
            raise KeyError(given) from error
        notes = list(line.notes())
        letters = {choice.id for choice in self.choices}
        if not 1 <= len(notes) <= self.places or any(
            swara.letter not in letters for note in notes for swara in note.tone.swaras
        ):
            raise KeyError(given)
        return line

    def chosen(self, given: str) -> tuple[str, ...]:
        """The choices of a set, at least one. Raises KeyError for what could not be given."""
        ids = tuple(given.split(KEYS_APART))
        offered = [choice.id for choice in self.choices]
        if list(ids) != [each for each in offered if each in ids]:
            raise KeyError(given)
        return ids

    def shared(self, given: str) -> tuple[int, ...]:
        """The share of each choice, in their order. Raises KeyError for what could not be given."""
        shares = given.split(KEYS_APART)
        if len(shares) != len(self.choices) or not all(map(str.isdecimal, shares)):
            raise KeyError(given)
        numbers = tuple(map(int, shares))
        if sum(numbers) != self.whole or min(numbers) < 1:
            raise KeyError(given)
        return numbers

    def tapped(self, given: str) -> tuple[int, ...]:
        """The milliseconds of taps. Raises KeyError for what could not be given."""
        taps = given.split(KEYS_APART)
        if not all(tap.removeprefix("-").isdecimal() for tap in taps):
            raise KeyError(given)
        times = tuple(map(int, taps))
        if any(later <= earlier for earlier, later in pairwise(times)):
            raise KeyError(given)
        return times


@dataclass(frozen=True, slots=True)
class Mark:
    """What an answer is worth: `credit` from 0 to 1, and the skill that was heard instead."""

    credit: float
    heard: str | None = None

    @property
    def right(self) -> bool:
        return self.credit == 1.0


class Kind(Protocol):
    """A family of questions, made, marked and explained by one module."""

    name: str
    title: str
    """What is asked, for a reader: "One swara over the drone: which is it?" """

    def skills(self) -> Sequence[Skill]:
        """All skills of this kind, in the order in which they are usually met."""
        ...

    def name_of(self, skill: str) -> str:
        """The name of a skill in the language in use: "Re up to Pa" of `gap:R-P:up`. English in
        Latin letters gives what `skills` has. Raises UnknownSkill."""
        ...

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        """A fresh question; the same arguments give the same question on any machine."""
        ...

    def mark(self, question: Question, given: str) -> Mark:
        """Mark what was given; raises KeyError if it could not be."""
        ...

    def explain(self, question: Question, given: str) -> Explanation: ...

    def level(self, skill: str) -> Level | None:
        """How the difference that is asked is measured; None where it does not vary."""
        ...

    def several(self, count: int) -> str:
        """So many skills of this kind, in an enumeration: "three gaps"."""
        ...

    def introduce(self, question: Question) -> str:
        """One or two sentences that present the skill before it is first asked."""
        ...
