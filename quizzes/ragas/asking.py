"""What all kinds of question about ragas share: skills, choices of ragas, and explanations."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from functools import lru_cache

from audio.line import Line
from audio.sargam import parse, write
from audio.score import Score
from quizzes.errors import not_asked
from quizzes.explanation import Explanation, Marked
from quizzes.names import capital, swara_name
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.choosing import near_pairs, shared_strings
from quizzes.ragas.raga import Raga
from quizzes.ragas.shipped import shipped_skills
from quizzes.ragas.sounding import SLOWER, explained_cue
from quizzes.ragas.tradition import changed, ragas
from quizzes.taught import TaughtKind
from words import in_script

EXPLAINED_TEMPO = 72.0
"""In matras a minute."""


def raga_skill(
    kind: str,
    raga: Raga,
    name: str,
    *,
    chance: float,
    seconds: float,
    sort: str = "",
    cluster: str = "raga {}",
    family: str = "perception",
) -> Skill:
    """A skill that asks of this raga; `{}` in `cluster` stands for its that."""
    return Skill(
        id=skill_id(kind, raga.id, sort),
        kind=kind,
        name=capital(name),
        family=family,
        cluster=cluster.format(raga.that.value or "of no that"),
        chance=chance,
        seconds=seconds,
    )


def skill_id(kind: str, raga: str, sort: str = "") -> str:
    """`raga-rest:own:yaman`; `raga-that:yaman` where a kind has no sorts."""
    return ":".join(part for part in (kind, sort, raga) if part)


def evenly(some: Sequence[Raga], count: int) -> list[Raga]:
    """So many of them, spread over the whole."""
    return [some[at * len(some) // count] for at in range(count)]


def known_to(setting: Setting, skill: str) -> Raga:
    """The raga that a skill id ends with, as the student's teacher has it."""
    return ragas(setting.tradition)[raga_in(skill)]


class RagaKind(TaughtKind):
    """A kind that asks of ragas, as the student's teacher has them."""

    sorts: Collection[str] = ("",)
    """What may stand in an id of its skills between the kind and the raga."""

    def name_of(self, skill: str, tradition: str = "") -> str:
        """The name of a skill in the language in use; the raga is called as the teacher calls it.
        Raises UnknownSkill."""
        return capital(self.called(*parted(skill, self.name, tradition, self.sorts)))

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        """How a skill is called, in the midst of a sentence. Overridden by each kind."""
        raise NotImplementedError

    def skills_taught(self, tradition: str) -> tuple[Skill, ...]:
        return _skills_of(self, tradition)

    def skills_among(self, known: Mapping[str, Raga]) -> tuple[Skill, ...]:
        """All that can be asked of these ragas. Overridden by each kind."""
        raise NotImplementedError


class NearKind(RagaKind):
    """A kind of which what is asked of a raga hangs on it and on those near to it alone: where a
    teacher has changed a few, only of these and of those near to them it is worked out anew."""

    def skills_among(self, known: Mapping[str, Raga]) -> tuple[Skill, ...]:
        return self.skills_of_some(known, known.keys())

    def skills_of_some(self, known: Mapping[str, Raga], some: Collection[str]) -> tuple[Skill, ...]:
        """What can be asked of some of these ragas. Overridden by each kind."""
        raise NotImplementedError


@lru_cache(maxsize=64)
def _skills_of(kind: RagaKind, tradition: str) -> tuple[Skill, ...]:
    known, shipped = ragas(tradition), shipped_skills().get(kind.name, ())
    if not isinstance(kind, NearKind) or known is ragas() or not shipped:
        return kind.skills_among(known)
    touched = _touched(tradition)
    some = [raga for raga in known if raga in touched]
    found = {skill.id: skill for skill in kind.skills_of_some(known, some)}
    kept = []
    for skill in shipped:
        if touched.isdisjoint(raga_in(skill.id).split("-")):
            kept.append(skill)
        elif skill.id in found:
            kept.append(found.pop(skill.id))
    return (*kept, *found.values())


@lru_cache(maxsize=8)
def _touched(tradition: str) -> frozenset[str]:
    """The ragas that a teacher has changed, and those near to them, before or now."""
    ids = frozenset(raga.id for raga in changed(tradition))
    pairs = near_pairs(ragas(tradition)) | near_pairs(ragas())
    return ids.union(*(pair for pair in pairs if pair & ids))


def split(
    skill: str, kind: str, setting: Setting, sorts: Collection[str] = ("",)
) -> tuple[str, Raga]:
    """The sort and the raga in a skill's id, such as `raga-rest:own:yaman`, the raga as the
    student's teacher has it; the sort is "" where a kind has none. Raises UnknownSkill. Whether it
    is asked at all is not worked out here, which would take too long while somebody waits;
    `quizzes.catalogue.skill_of` knows.
    """
    return parted(skill, kind, setting.tradition, sorts)


def parted(
    skill: str, kind: str, tradition: str, sorts: Collection[str] = ("",)
) -> tuple[str, Raga]:
    """The same in a teacher's tradition. Raises UnknownSkill."""
    name, *between, raga = skill.split(":")
    sort, known = ":".join(between), ragas(tradition)
    if name != kind or sort not in sorts or raga not in known:
        raise not_asked(skill, kind)
    return sort, known[raga]


def as_shipped(raga: Raga, skill: str) -> Raga:
    """The raga without a teacher's word, for a skill that this leaves nothing to ask of: logs may
    hold it. Raises UnknownSkill for a raga of the teacher's own."""
    if raga.id not in ragas():
        raise not_asked(skill, skill.partition(":")[0])
    return ragas()[raga.id]


def some_asked(
    known: Mapping[str, Raga],
    able: Sequence[Raga],
    count: int,
    asked: Callable[[Mapping[str, Raga]], Collection[str]],
) -> list[Raga]:
    """So many of those that are able, spread over the whole; where a teacher has said something,
    those whose ids are `asked` as shipped, then those that the teacher has changed: what is asked
    of all others stays as it was."""
    shipped = ragas()
    if known is shipped:
        return evenly(able, count)
    before = asked(shipped)
    kept = [raga for raga in able if raga.id in before]
    new = [raga for raga in able if raga is not shipped.get(raga.id) and raga.id not in before]
    return kept + new[: max(0, count - len(kept))]


def raga_in(skill: str) -> str:
    """The id of the raga with which a skill's id ends."""
    return skill.rpartition(":")[2]


def ragas_in(skills: Iterable[str], tradition: str) -> tuple[str, ...]:
    """The ragas of these skills, such as those met, each once."""
    known = ragas(tradition)
    return tuple(one for one in dict.fromkeys(map(raga_in, skills)) if one in known)


def possible_among(
    choices: Sequence[Choice], right: str, setting: Setting, *, also: Collection[str] = ()
) -> tuple[str, ...]:
    """Ids of choices that a student who hears nothing could not rule out: the right one, those of
    ragas begun in this kind, and `also`."""
    begun = {*ragas_in(setting.met, setting.tradition), *also, right}
    return tuple(choice.id for choice in choices if choice.id in begun)


def drone_for(offered: Iterable[Raga]) -> str:
    """The first string that suits all the ragas offered and so tells none of them."""
    return shared_strings(tuple(offered))[0]


def explanation_of(
    question: Question,
    given: str,
    *,
    why: str,
    line: Line | None = None,
    deciding: Collection[int] = (),
    given_line: Line | None = None,
    given_plays: str = "",
    intro_cue: Score | None = None,
) -> Explanation:
    """The phrase as it was asked, evenly and drawn, and the one that was answered.

    `line` is the phrase to hear, the cue's own unless given; `deciding` are places of its notes by
    which it was to be known, counted from 0. `given_line` is left out where the answer was right.
    """
    line = parse(question.sargam) if line is None else line
    right = given in question.right
    played = played_line(question, line)
    return Explanation(
        right_label=label_of(question, question.right[0]),
        given_label=label_of(question, given),
        why=why,
        right_cue=played,
        given_cue=None if right or given_line is None else played_line(question, given_line),
        given_plays="" if right else given_plays,
        slow_cue=played_line(question, line, tempo=EXPLAINED_TEMPO * SLOWER),
        intro_cue=intro_cue,
        drawn=drawn_in(line, played, deciding),
        right_written=in_script(write(line)),
        given_written="" if right or given_line is None else in_script(write(given_line)),
    )


def label_of(question: Question, given: str) -> str:
    """The label of a choice; of a line of keys their labels in order."""
    if question.is_line:
        return ", ".join(question.choice(key).label for key in question.written(given))
    return question.choice(given).label


def played_line(question: Question, line: Line, *, tempo: float = EXPLAINED_TEMPO) -> Score:
    """A line at the question's Sa, over its drone."""
    drone = question.cue.drone
    return explained_cue(
        line,
        sa_hz=question.cue.sa_hz,
        tuning=question.setting.tuning,
        drone=None if drone is None else drone.first,
        matras_per_min=tempo,
    )


def drawn_in(
    line: Line, score: Score, deciding: Collection[int], *, tempo: float = EXPLAINED_TEMPO
) -> tuple[Marked, ...]:
    """The swaras of a line where they sound in its score."""
    matra_s = 60.0 / tempo
    return tuple(
        Marked(
            start_s=score.lead_s + float(note.onset) * matra_s,
            end_s=score.lead_s + float(note.end) * matra_s,
            label=swara_name(note.swara),
            deciding=place in deciding,
        )
        for place, note in enumerate(line.notes())
    )
