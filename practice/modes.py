"""The ways to practise: of what a mode asks, what may be chosen now, and why something may not.

A mode narrows what is asked and nothing else: what the student knows is remembered alike in all.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime

from practice.errors import ModeError
from practice.given import NOTHING, Given
from practice.parts import parts_of
from quizzes.courses import Course
from quizzes.kinds import KINDS
from quizzes.names import in_figures
from scheduler import Item, Lesson, Memory
from scheduler.plan import INTRODUCING
from scheduler.weak import weak_spots
from words import say, to_say

ASKED_AT_MOST, NEW_ASKED_AT_MOST = 3, 4
"""Where little is asked of, a practice ends before each skill, begun or new, has been asked much
oftener."""
BEFORE_LESSON_MIN = 10
"""How long a practice before the lesson is, unless another time is given."""
LEAST_TOGETHER = 4
"""So many skills at least are asked together, where as many are begun: of two in turn each would
give the other away."""
MAY_BE = "day, before-lesson, weak-spots, kind:KIND, part:NAME and these:SKILLS"


@dataclass(frozen=True, slots=True)
class Mode:
    """A way to practise; `which` is the kind, the name of the part of the course, or the ids of
    skills with single spaces between them."""

    id: str = "day"
    which: str = ""

    @classmethod
    def read(cls, text: str) -> Mode:
        """As it is written: "weak-spots", "kind:gap", "these:gap:S-P:up gap:S-m:up". Raises
        ModeError."""
        name, _, which = text.strip().partition(":")
        if name not in _MODES or bool(which) != (name in ("kind", "part", "these")):
            raise ModeError(f"{text!r} is no way to practise; there are {MAY_BE}")
        return cls(name, which.strip())

    @classmethod
    def of_these(cls, skills: Iterable[str]) -> Mode:
        """To practise these skills, side by side."""
        return cls("these", " ".join(skills))

    def minutes_of(self, usual: int) -> int:
        """How many minutes are offered first to who practises `usual` ones a day."""
        return BEFORE_LESSON_MIN if self.id == "before-lesson" else usual


@dataclass(frozen=True, slots=True)
class ModeChoice:
    """One mode, for who is to choose; `why_not` says plainly why it cannot be had now."""

    id: str
    name: str
    about: str
    why_not: str | None = None
    first: str = ""
    """What is to be said before it can be had: "lesson" when the lesson is, "which" which one."""


@dataclass(frozen=True, slots=True)
class Which:
    """One of the kinds, or of the parts of a course: what Mode.which is, in words."""

    id: str
    name: str
    about: str


@dataclass(frozen=True, slots=True)
class Asked:
    """Of what a practice asks: the items in the order of meeting, for which lesson if any."""

    items: tuple[Item, ...]
    lesson: Lesson | None
    enough_s: float = math.inf
    """After how many seconds each that may be asked today has been asked often enough."""
    side_by_side: bool = False
    """Whether what is confused is set against each other whenever it can be."""
    meant: frozenset[str] = frozenset()
    """The skills that are to be practised, where others only come in between."""

    def minutes_of(self, minutes: float) -> float:
        """How long a practice for which so many minutes are given is to last."""
        if self.enough_s >= minutes * 60.0:
            return minutes
        return max(1, math.ceil(self.enough_s / 60.0))


@dataclass(frozen=True, slots=True)
class Modes:
    """What may be chosen at `now`: `items` are asked in the course and in the decks that are
    `given`, `lesson` is the next one and what it is about, `lesson_words` say so."""

    course: Course
    items: tuple[Item, ...]
    memory: Memory
    now: datetime
    lesson: Lesson | None = None
    lesson_words: str = ""
    given: Given = NOTHING
    new_left: int | None = None
    """How many skills may still be met for the first time today; None where no pace is set."""

    def choices(self) -> tuple[ModeChoice, ...]:
        """The modes to choose from, the day's practice first."""
        return tuple(self.choice(mode) for mode in _MODES if mode != "these")

    def choice(self, mode: str) -> ModeChoice:
        """The mode of this id."""
        name, about = map(say, _MODES[mode])
        if mode == "before-lesson":
            if self.lesson is None:
                return ModeChoice(mode, name, about, say(NO_LESSON), "lesson")
            about = say(
                "{lesson}. {about}",
                lesson=self.lesson_words,
                about=say(THESE_RAGAS) if self.lesson.skills else about,
            )
        first = "which" if mode in ("kind", "part") else ""
        return ModeChoice(mode, name, about, self._why_not(mode), first)

    def _why_not(self, mode: str) -> str | None:
        if mode == "before-lesson" and not self._before_lesson():
            return say(NOTHING_BEGUN)
        if mode == "weak-spots" and not self._weak():
            return say(NOTHING_WEAK)
        return None

    def kinds(self) -> tuple[Which, ...]:
        """The kinds that the course asks, in the order in which they are usually met."""
        of_kind = Counter(item.kind for item in self.items)
        return tuple(
            Which(
                kind,
                in_figures(KINDS[kind].several(of_kind[kind]), of_kind[kind]),
                f"{_sentence(say(KINDS[kind].title))} "
                f"{self._begun(item for item in self.items if item.kind == kind)}",
            )
            for kind in KINDS
            if kind in of_kind
        )

    def parts(self) -> tuple[Which, ...]:
        """The teacher's decks, then the parts of the course, each in their order: those of which
        something is asked."""
        parts = ((part, self._of_part(part)) for part in parts_of(self.course, self.given))
        return tuple(Which(part, say(part), self._begun(items)) for part, items in parts if items)

    def which(self, mode: str) -> tuple[Which, ...]:
        """What may stand behind a mode: kinds, parts, or nothing."""
        named: dict[str, Callable[[], tuple[Which, ...]]] = {"kind": self.kinds, "part": self.parts}
        return named[mode]() if mode in named else ()

    def chosen(self, mode: Mode) -> Which | None:
        """The kind or part that `mode` names, in words; None where it names none that is asked."""
        which = mode.which.casefold()
        return next((one for one in self.which(mode.id) if one.id.casefold() == which), None)

    def asked(self, mode: Mode) -> Asked:
        """What `mode` asks. Raises ModeError, which says why not, or what may be given."""
        choice = self.choice(mode.id)
        if choice.why_not is not None:
            raise ModeError(choice.why_not)
        which = mode.which.casefold()
        found: dict[str, Callable[[], tuple[Item, ...]]] = {
            "day": lambda: self.items,
            "before-lesson": self._before_lesson,
            "weak-spots": self._weak,
            "kind": lambda: tuple(item for item in self.items if item.kind == which),
            "part": lambda: self._of_part(mode.which),
            "these": lambda: self._these(mode.which.split()),
        }
        items = found[mode.id]()
        if not items:
            raise ModeError(self._no_such(mode))
        if self.new_left == 0 and not any(item.skill in self.memory.beliefs for item in items):
            raise ModeError(say(PACE_IS_MET))
        lesson = self.lesson
        if lesson is not None and mode.id == "before-lesson" and not lesson.skills:
            lesson = Lesson(lesson.at, frozenset(item.skill for item in items))
        if mode.id == "day" and self.new_left is None:
            return Asked(items, lesson)
        side_by_side = mode.id in ("before-lesson", "weak-spots", "these")
        meant = frozenset(mode.which.split()) if mode.id == "these" else frozenset[str]()
        return Asked(items, lesson, self._enough_s(items), side_by_side, meant)

    def _enough_s(self, items: Iterable[Item]) -> float:
        """What is new is shown first, which takes its time, and asked a little oftener; of it no
        more comes than may be met today."""
        begun: list[float] = []
        new: list[float] = []
        for item in items:
            (begun if item.skill in self.memory.beliefs else new).append(item.seconds)
        asked_new = math.fsum(new[: self.new_left])
        return ASKED_AT_MOST * math.fsum(begun) + (INTRODUCING + NEW_ASKED_AT_MOST) * asked_new

    def _before_lesson(self) -> tuple[Item, ...]:
        """All that is begun; where the lesson's ragas are named, what the course asks of these,
        begun or not, and beside it what is weak."""
        about = self.lesson.skills if self.lesson else frozenset()
        if not about:
            return tuple(item for item in self.items if item.skill in self.memory.beliefs)
        weak = {item.skill for item in self._weak()}
        return tuple(item for item in self.items if item.skill in about or item.skill in weak)

    def _weak(self) -> tuple[Item, ...]:
        return weak_spots(self.items, self.memory, self.now)

    def _of_part(self, part: str) -> tuple[Item, ...]:
        """What is asked of the part of this name."""
        parts = parts_of(self.course, self.given).items()
        skills = {s for name, of in parts if name.casefold() == part.casefold() for s in of}
        return tuple(item for item in self.items if item.skill in skills)

    def _these(self, skills: list[str]) -> tuple[Item, ...]:
        """Those of these skills that are asked; where they are few, beside them what is begun of
        their kinds and easily taken for them."""
        named = tuple(item for item in self.items if item.skill in skills)
        kinds, clusters = {item.kind for item in named}, {item.cluster for item in named}
        begun = [item for item in self.items if item.skill in self.memory.beliefs]
        beside = [item for item in begun if item.kind in kinds and item not in named]
        known = {item.skill: self.memory.knowledge(item.skill, self.now) for item in beside}
        beside.sort(key=lambda item: (item.cluster not in clusters, known[item.skill]))
        return (*named, *beside[: max(0, LEAST_TOGETHER - len(named)) if named else 0])

    def _begun(self, items: Iterable[Item]) -> str:
        """`10 of 24 begun.`"""
        begun = [item.skill in self.memory.beliefs for item in items]
        return say("{begun} of {all} begun.", begun=sum(begun), all=len(begun))

    def _no_such(self, mode: Mode) -> str:
        if mode.id == "these":
            return (
                f"these:{mode.which}: none of these skills is asked in {self.course.name!r}; give "
                "ids such as gap:R-P:up, with spaces between them"
            )
        known = [which.id for which in self.which(mode.id)]
        if mode.id == "kind":
            return (
                f"kind:{mode.which} is not asked in {self.course.name!r}; asked are "
                f"{', '.join(known)}"
            )
        return (
            f"part:{mode.which} is no part of {self.course.name!r}; its parts are\n  "
            + "\n  ".join(known)
        )


_MODES = {
    "day": (
        to_say("The day's practice"),
        to_say("What does you most good today, of your whole course."),
    ),
    "before-lesson": (
        to_say("Before the lesson"),
        to_say("What you have begun, and above all what is weak in it."),
    ),
    "weak-spots": (
        to_say("Weak spots"),
        to_say("Only what is shaky, missed or taken for something else."),
    ),
    "kind": (to_say("One kind"), to_say("One kind of question and no other.")),
    "part": (to_say("One part"), to_say("One part of your course, or one deck, and no other.")),
    "these": (
        to_say("These"),
        to_say("What is taken for one another, side by side, and a little beside it."),
    ),
}
"""Name and what it is, by id; to be said."""

THESE_RAGAS = to_say("These ragas, new or begun, and what is weak besides.")
NO_LESSON = to_say("Set the day of your lesson first.")
NOTHING_BEGUN = to_say("Nothing is begun yet that could be made ready for a lesson.")
PACE_IS_MET = to_say(
    "Nothing of this is begun yet, and all that your course lets you begin in a day is begun: "
    "it goes on tomorrow."
)
NOTHING_WEAK = to_say("No weak spots yet: what you miss will be there.")


def _sentence(title: str) -> str:
    """A title with its end, so that words may follow."""
    return title if title.endswith(("?", ".", "!", "।")) else say("{text}.", text=title)
