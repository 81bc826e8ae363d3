"""What can be taken for what: the things of each subject, their names, and the skills that ask
them.

A thing is one answer that can be right: a swara, a gap in one direction, a raga. Only things of one
group are ever offered together: what the hand did is not taken for how far a meend went.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass

from audio.errors import TuningError
from audio.tuning import Swara
from practice.made_again import asked_again
from practice.standing import Standing
from quizzes.decks.deck import KIND as DECK
from quizzes.kinds.ornament import MEETING_ORDER as ORNAMENTS
from quizzes.kinds.raga_from_phrase import NOT_YET_LABEL, RagaFromPhraseKind
from quizzes.left_hand import ornament_name
from quizzes.names import capital, counted, gap_name, swara_name
from quizzes.ragas.said import raga_name
from quizzes.ragas.telling import NOT_YET
from quizzes.ragas.tradition import ragas
from quizzes.stages.tradition import form
from quizzes.talas.tradition import talas
from scheduler import LogError
from words import in_script, say, say_as, to_say


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing of a subject: what it is called, in full and where there is little room."""

    id: str
    label: str
    short: str
    group: str = ""
    """What it is one of, in words; "" where the subject has but one group."""


class Subject:
    """The things that one kind of question asks; each subject says how they are called."""

    id: str
    name: str
    """As it stands on a tab, to be said."""
    of_them: str
    """The same within a sentence, to be said."""
    kind: str
    in_order = False
    """Whether its things have an order of their own, such as by pitch."""

    def thing_of(self, skill: str, answer: str) -> str:
        """The thing that an answer to this skill names."""
        return answer

    def answer_of(self, thing: str) -> str:
        """The answer that names a thing, as the log has it."""
        return thing

    def thing(self, thing: str, standing: Standing) -> Thing:
        """With its names; its id where nothing is known of it any more."""
        raise NotImplementedError

    def first_skills(self, thing: str) -> tuple[str, ...]:
        """The skills that ask a thing, the plainest first, whether they are in a course or not."""
        raise NotImplementedError

    def is_between(self, skill: str, right: str, given: str) -> bool:
        """Whether a skill that asks one of two things sets it against the other, or may."""
        return True

    def in_turn(self, things: Iterable[str]) -> list[str]:
        """In the order in which they are shown, where they have one."""
        return sorted(things)


class Swaras(Subject):
    id, kind, in_order = "swaras", "swara", True
    name, of_them = to_say("Swaras"), to_say("swaras")

    def thing(self, thing: str, standing: Standing) -> Thing:
        with suppress(TuningError):
            swara = Swara.read(thing)
            return Thing(thing, capital(swara_name(swara)), swara_name(swara))
        return _unknown(thing)

    def first_skills(self, thing: str) -> tuple[str, ...]:
        return (f"swara:{thing}",)

    def in_turn(self, things: Iterable[str]) -> list[str]:
        return sorted(things, key=_steps)


class Gaps(Subject):
    """A gap in one direction: `R-P:up`."""

    id, kind = "gaps", "gap"
    name, of_them = to_say("Gaps"), to_say("gaps")

    def thing_of(self, skill: str, answer: str) -> str:
        return f"{answer}:{skill.rpartition(':')[2]}"

    def answer_of(self, thing: str) -> str:
        return thing.partition(":")[0]

    def thing(self, thing: str, standing: Standing) -> Thing:
        with suppress(TuningError):
            pair, _, direction = thing.partition(":")
            low, _, high = pair.partition("-")
            label = capital(gap_name(Swara.read(low), Swara.read(high), direction))
            short = in_script(pair.replace("-", " "))
            group = say(_DIRECTIONS[direction]) if direction in _DIRECTIONS else ""
            return Thing(thing, label, short, group)
        return _unknown(thing)

    def first_skills(self, thing: str) -> tuple[str, ...]:
        return (f"gap:{thing}",)


class Ragas(Subject):
    """Ragas told from a phrase, and "not enough heard yet", which is right of some phrases."""

    id, kind = "ragas", RagaFromPhraseKind.name
    name, of_them = to_say("Ragas"), to_say("ragas")

    def thing(self, thing: str, standing: Standing) -> Thing:
        if thing == NOT_YET:
            return Thing(thing, say(NOT_YET_LABEL), say("Not enough"))
        known = ragas(standing.given.tradition)
        if thing not in known:
            return _unknown(thing)
        name = raga_name(known[thing])
        return Thing(thing, name, name)

    def first_skills(self, thing: str) -> tuple[str, ...]:
        return tuple(f"{self.kind}:{sort}:{thing}" for sort in ("note", "run"))

    def is_between(self, skill: str, right: str, given: str) -> bool:
        """Of those two and no third one."""
        _, _, of = skill.rpartition(":")
        return set(of.split("-")) <= {right, given}


class Ornaments(Subject):
    """What the hand did, how far a meend went (`span:3`), and from where a kan or a meend came
    (`side:kan:above`)."""

    id, kind, in_order = "ornaments", "ornament", True
    name, of_them = to_say("Ornaments"), to_say("ornaments")

    def thing_of(self, skill: str, answer: str) -> str:
        _, what, *of = skill.split(":")
        return (
            answer
            if not of
            else f"{what}:{answer}"
            if what == "span"
            else f"{what}:{of[0]}:{answer}"
        )

    def answer_of(self, thing: str) -> str:
        return thing.rpartition(":")[2]

    def thing(self, thing: str, standing: Standing) -> Thing:
        what, *of = thing.split(":")
        if what == "span" and of[-1].isdecimal():
            label = capital(counted(int(of[-1]), "{number} semitone", "{number} semitones"))
            return Thing(thing, label, of[-1], say("How far a meend went"))
        if what == "side" and len(of) == 2:
            return _from_a_side(thing, *of)
        name = capital(ornament_name(thing)) if thing in ORNAMENTS else capital(thing)
        return Thing(thing, name, name, say("What the left hand did"))

    def first_skills(self, thing: str) -> tuple[str, ...]:
        what, _, _ = thing.rpartition(":")
        return (f"ornament:{what if what.startswith('side') else thing}",)

    def in_turn(self, things: Iterable[str]) -> list[str]:
        return sorted(things, key=lambda thing: (thing.count(":"), _place(thing, ORNAMENTS), thing))


class Talas(Subject):
    id, kind = "talas", "tala"
    name, of_them = to_say("Talas"), to_say("talas")

    def thing(self, thing: str, standing: Standing) -> Thing:
        known = talas(standing.given.tradition)
        if thing not in known:
            return _unknown(thing)
        name = say(known[thing].name)
        return Thing(thing, name, name)

    def first_skills(self, thing: str) -> tuple[str, ...]:
        return f"tala:{thing}", f"tala:mid:{thing}"


class Stages(Subject):
    """Stages of a performance, and of its parts, by ear."""

    id, kind, in_order = "stages", "which-stage", True
    name, of_them = to_say("Stages"), to_say("stages")

    def thing(self, thing: str, standing: Standing) -> Thing:
        known = form(standing.given.tradition)
        if thing not in known.stages:
            return _unknown(thing)
        name = say(known.stages[thing].name)
        return Thing(thing, name, name, capital(say(known.whole_of(thing).name)))

    def first_skills(self, thing: str) -> tuple[str, ...]:
        return (f"which-stage:{thing}",)

    def in_turn(self, things: Iterable[str]) -> list[str]:
        parts = [part for division in form().divisions.values() for part in division.parts]
        return sorted(things, key=lambda thing: (_place(thing, parts), thing))


class Decks(Subject):
    """The answers to a teacher's questions: `DECK:QUESTION ANSWER`."""

    id, kind = "decks", DECK
    name, of_them = to_say("Decks"), to_say("decks")

    def thing_of(self, skill: str, answer: str) -> str:
        return f"{':'.join(skill.split(':')[1:3])} {answer}"

    def answer_of(self, thing: str) -> str:
        return thing.partition(" ")[2]

    def thing(self, thing: str, standing: Standing) -> Thing:
        """As it was written when it was asked last: the deck may have changed, or be gone."""
        question, _, answer = thing.partition(" ")
        skills = [s for s in standing.history.given if f"{s}:".startswith(f"{DECK}:{question}:")]
        for skill in skills:
            with suppress(KeyError, LogError):
                asked = asked_again(standing, skill)
                if asked is not None:
                    label = asked.choice(answer).label
                    return Thing(thing, label, label, asked.prompt)
        return _unknown(thing, capital(answer.replace("-", " ")))

    def first_skills(self, thing: str) -> tuple[str, ...]:
        question, _, answer = thing.partition(" ")
        return f"{DECK}:{question}", f"{DECK}:{question}:{answer}"


SUBJECTS: dict[str, Subject] = {
    subject.id: subject
    for subject in (Swaras(), Gaps(), Ragas(), Ornaments(), Talas(), Stages(), Decks())
}
"""By id: whatever is answered by naming one of several things."""

_DIRECTIONS = {
    "up": to_say("Gaps going up"),
    "down": to_say("Gaps going down"),
    "together": to_say("Gaps together"),
}


def _from_a_side(thing: str, ornament: str, side: str) -> Thing:
    """From where a kan or a meend came; ids that are not known any more stay as they are."""
    name = ornament_name(ornament) if ornament in ORNAMENTS else ornament
    sides = {"above": say_as("a side", "above"), "below": say_as("a side", "below")}
    group = say("From where a {ornament} came", ornament=name)
    if side == "above":
        label = say("{ornament} from above", ornament=capital(name))
    elif side == "below":
        label = say("{ornament} from below", ornament=capital(name))
    else:
        label = f"{capital(name)} from {side}"
    return Thing(thing, label, capital(sides.get(side, side)), group)


def _unknown(thing: str, label: str = "") -> Thing:
    """Of an older log, or a teacher's word that has changed since."""
    label = label or capital(thing.replace("-", " ").replace("_", " "))
    return Thing(thing, label, label)


def _steps(swara: str) -> tuple[int, str]:
    with suppress(TuningError):
        return Swara.read(swara).steps, swara
    return 99, swara


def _place(thing: str, among: Sequence[str]) -> int:
    return among.index(thing) if thing in among else len(among)
