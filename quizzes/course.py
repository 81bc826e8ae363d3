"""A course: which skills a student takes, and in which order they are met; read from a TOML file.

It has `name`, `about` (a course of one's own may do without), `source` where it follows somebody
else's syllabus, `pace` where no more than so many new skills are to be met in a day, then
`[[step]]` tables, each with a `name` and what is met in it:

    skills = ["swara:S", "gap:S-P:up"]      ids of skills, as `main.py kinds KIND` lists them
    decks = ["first-gaps"]                  all questions of these decks
    ragas = ["yaman", "bhupali"]            what is asked of these ragas
    talas = ["tintal", "jhaptal"]           what is asked of these talas
    kinds = ["gap", "tune"]                 all that is asked of these kinds
    ask = ["raga-from-phrase:note"]         of ragas, talas and kinds only what begins so

Order in the file is order of meeting. Skills that are named come first, in their order. What a step
asks of ragas or of talas is met kind by kind, in the order in which kinds are usually met, so that
those of a step are met side by side; where a step holds more than one such thing, or several decks
or kinds, each is met in its own order and they take turns. What was asked earlier is not met again.

A deck that is not there is left out, and told by `Step.missing`; all else that is wrong is a fault.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import zip_longest
from types import MappingProxyType
from unicodedata import category

from quizzes.catalogue import skill_of
from quizzes.decks.asking import skills_of
from quizzes.decks.deck import KIND, Deck
from quizzes.errors import CourseError, UnknownSkill
from quizzes.fields import Table
from quizzes.kinds import KINDS
from quizzes.met_in_order import MetInOrder, met_in, ragas_of
from quizzes.question import Skill

NO_DECKS: Mapping[str, Deck] = MappingProxyType({})

MOST_PACE = 50
"""New skills a day: more than anybody can carry."""
MOST_STEPS, MOST_NAMED = 300, 1000
"""Steps of a course, and texts in one list of a step."""
LONGEST_NAME, LONGEST_ABOUT = 80, 2000
"""Letters of a name, and of what a course is about."""
HEAD = ("name", "about", "source", "pace", "step")
LISTS = ("skills", "decks", "ragas", "talas", "kinds")
"""What a step may bring in."""


@dataclass(frozen=True, slots=True)
class Step:
    """A few skills that belong together."""

    name: str
    skills: tuple[Skill, ...]
    decks: tuple[str, ...] = ()
    """Ids of the decks that it names."""
    missing: tuple[str, ...] = ()
    """Those of them that are not there."""


@dataclass(frozen=True, slots=True)
class Course:
    id: str
    name: str
    about: str
    source: str
    steps: tuple[Step, ...]
    pace: int | None = None
    """At most so many new skills a day; None leaves it to the plan."""

    @property
    def skills(self) -> tuple[Skill, ...]:
        return tuple(skill for step in self.steps for skill in step.skills)

    @property
    def decks(self) -> frozenset[str]:
        """Ids of the decks that it names."""
        return frozenset(deck for step in self.steps for deck in step.decks)

    @property
    def missing(self) -> tuple[str, ...]:
        """Ids of the decks that it names and that are not there, each once."""
        return tuple(dict.fromkeys(deck for step in self.steps for deck in step.missing))


def course_of(
    course: str, table: Table, decks: Mapping[str, Deck], tradition: str, *, is_own: bool
) -> Course:
    """The course of this id that a file's table holds; `decks` are those that there are, by id.

    Raises CourseError with all that is wrong.
    """
    reading = _Reading(decks, met_in(tradition))
    found = reading.course(course, table, is_own=is_own)
    if reading.errors:
        errors = sorted(reading.errors, key=lambda error: error.at.line if error.at else 0)
        error = CourseError("\n".join(map(str, errors)))
        error.faults = tuple(each.at for each in errors if each.at)
        raise error
    return found


class _Reading:
    """Reads a course and gathers all that is wrong with it. Knows what earlier steps have asked."""

    def __init__(self, decks: Mapping[str, Deck], known: MetInOrder) -> None:
        self._decks, self._known = decks, known
        self.errors: list[CourseError] = []
        self._seen: set[str] = set()
        self._ragas: set[str] = set()
        """Ragas asked so far."""

    @contextmanager
    def _gathering(self) -> Iterator[None]:
        try:
            yield
        except CourseError as error:
            self.errors.append(error)

    def course(self, course: str, table: Table, *, is_own: bool) -> Course:
        """The course, as far as it can be read."""
        self._only(table, HEAD)
        steps: list[Table] = []
        with self._gathering():
            steps = table.inners("step")
            if not steps:
                raise table.fault("step", "a course needs at least one [[step]]")
            if len(steps) > MOST_STEPS:
                said = f"{len(steps)} steps are too many; {MOST_STEPS} are allowed"
                steps = steps[:MOST_STEPS]
                raise table.fault("step", said)
        return Course(
            course,
            self._text(table, "name", LONGEST_NAME),
            self._text(table, "about", LONGEST_ABOUT, needed=not is_own),
            self._text(table, "source", LONGEST_ABOUT, needed=False),
            tuple(map(self._step, steps)),
            self._pace(table),
        )

    def _only(self, table: Table, known: Iterable[str]) -> None:
        for field in table.values:
            with self._gathering():
                if field not in known:
                    listed = ", ".join(sorted(known))
                    raise table.fault(field, f"is not known; known are {listed}")

    def _text(self, table: Table, field: str, longest: int, *, needed: bool = True) -> str:
        with self._gathering():
            text = table.text(field, needed=needed)
            if len(text) > longest:
                said = f"is {len(text)} letters long; {longest} are allowed"
                raise table.fault(field, said)
            lines = text if field == "name" else text.replace("\n", "")
            if any(category(sign) == "Cc" for sign in lines):
                raise table.fault(field, "holds a sign that cannot be seen; leave it out")
            return text
        return ""

    def _pace(self, table: Table) -> int | None:
        pace = table.values.get("pace")
        with self._gathering():
            if pace is not None and (type(pace) is not int or not 1 <= pace <= MOST_PACE):
                raise table.fault(
                    "pace",
                    f"should be a whole number from 1 to {MOST_PACE}: new skills a day, at most; "
                    f"given {pace!r}",
                )
            return pace
        return None

    def _list(self, table: Table, field: str) -> tuple[str, ...]:
        """The texts of a list; () where it is left out or cannot be read."""
        if field not in table.values:
            return ()
        with self._gathering():
            texts = table.texts(field)
            if len(texts) > MOST_NAMED:
                said = f"names {len(texts)}; {MOST_NAMED} are allowed"
                raise table.fault(field, said)
            return texts
        return ()

    def _step(self, table: Table) -> Step:
        before = len(self.errors)
        self._only(table, ("name", *LISTS, "ask"))
        name = self._text(table, "name", LONGEST_NAME)
        lists = {field: self._list(table, field) for field in (*LISTS, "ask")}
        brings = [field for field in LISTS if field in table.values]
        with self._gathering():
            if not brings:
                raise table.fault("skills", f"is missing; a step needs one of {', '.join(LISTS)}")
            if {"ragas", "talas"} <= table.values.keys():
                raise table.fault("talas", "stands beside ragas; give each a step of its own")
        skills = list(self._named(table, lists["skills"]))
        for skill in _in_turn(self._brought(table, lists)):
            if skill.id not in self._seen:
                self._add(skill)
                skills.append(skill)
        with self._gathering():
            # A deck may come to ask nothing more; that is no fault of the course.
            if not skills and "decks" not in brings and len(self.errors) == before:
                said = f"nothing new is asked of these {brings[0]} so; remove the step"
                raise table.fault(brings[0], said)
        missing = tuple(deck for deck in lists["decks"] if deck not in self._decks)
        return Step(name, tuple(skills), tuple(lists["decks"]), missing)

    def _add(self, skill: Skill) -> None:
        self._seen.add(skill.id)
        self._ragas.update(ragas_of(skill))

    def _named(self, table: Table, texts: Iterable[str]) -> Iterator[Skill]:
        for text in texts:
            found: Skill | None = None
            with self._gathering():
                try:
                    found = skill_of(text, self._known.tradition)
                except UnknownSkill as error:
                    raise table.fault("skills", str(error), value=text) from error
                if found.id in self._seen:
                    said = f"{found.id} stands twice in the course; remove one"
                    found = None
                    raise table.fault("skills", said, value=text)
            if found is not None:
                self._add(found)
                yield found

    def _brought(self, table: Table, lists: Mapping[str, Sequence[str]]) -> list[list[Skill]]:
        """What decks, ragas, talas and kinds bring in, each in its own order."""
        known, beginnings = self._known, self._beginnings(table, lists)
        ragas = self._known_of(table, "ragas", lists, known.ragas)
        talas = self._known_of(table, "talas", lists, known.talas)
        kinds = self._known_of(table, "kinds", lists, KINDS.keys() - {KIND})
        decks = [self._decks[deck] for deck in dict.fromkeys(lists["decks"]) if deck in self._decks]
        of_kinds = (
            (
                s
                for beginning in beginnings
                for s in known.of_kind(kind)
                if s.id.startswith(beginning)
            )
            for kind in kinds
        )
        found: tuple[Iterable[Skill], ...] = (
            *(skills_of(deck, known.tradition) for deck in decks),
            known.of_ragas(ragas, beginnings, self._ragas),
            known.of_talas(talas, beginnings),
            *of_kinds,
        )
        return list(map(list, found))

    def _known_of(
        self, table: Table, field: str, lists: Mapping[str, Sequence[str]], known: Collection[str]
    ) -> list[str]:
        """Those of a list that are known here, each once."""
        what = field.removesuffix("s")
        for text in lists[field]:
            with self._gathering():
                if text not in known:
                    said = f"{text!r} is no {what} known here; {_REMEDIES[field]}"
                    raise table.fault(field, said, value=text)
        return [text for text in dict.fromkeys(lists[field]) if text in known]

    def _beginnings(self, table: Table, lists: Mapping[str, Sequence[str]]) -> Sequence[str]:
        """What alone is asked begins so; each must begin something that is asked of such things."""
        if not lists["ask"]:
            return ("",)
        kinds = [kind for kind in lists["kinds"] if kind in KINDS]
        named = {field: [field] for field in ("ragas", "talas") if lists[field]}
        named |= {"these kinds": kinds} if kinds else {}
        for beginning in lists["ask"]:
            with self._gathering():
                if not named:
                    said = "narrows ragas, talas or kinds; give one of these beside it"
                    raise table.fault("ask", said)
                if not any(self._known.begins(beginning, w) for ws in named.values() for w in ws):
                    said = (
                        f"nothing that is asked of {' or '.join(named)} begins with {beginning!r}"
                    )
                    raise table.fault("ask", said, value=beginning)
        return lists["ask"]


_REMEDIES = {
    "ragas": "`main.py raga` lists them",
    "talas": "`main.py tala` lists them",
    "kinds": "`main.py kinds` lists them",
}


def _in_turn(lists: Iterable[Iterable[Skill]]) -> Iterator[Skill]:
    """The first of each, then the second of each, until all are through."""
    for row in zip_longest(*lists):
        yield from (skill for skill in row if skill is not None)
