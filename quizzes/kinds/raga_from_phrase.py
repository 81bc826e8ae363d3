"""`raga-from-phrase`: which of these ragas is it, or can it not be told yet?

The levels are sorts of evidence, from a swara that the others have not to a rest, a register or a
treatment in which alone they differ; in between, phrases of which more than one raga is.
"""

from __future__ import annotations

from functools import cache

from audio.line import Line
from audio.sargam import parse, write
from quizzes.errors import UnknownSkill
from quizzes.fresh import Fresh
from quizzes.names import capital
from quizzes.question import Choice, Explanation, Question, Setting, Skill
from quizzes.ragas.asking import (
    RagaKind,
    drone_for,
    explanation_of,
    known_to,
    possible_among,
    raga_in,
    ragas_in,
)
from quizzes.ragas.evidence import Evidence, swaras_of
from quizzes.ragas.growing import grow
from quizzes.ragas.movement import admits, surely_breaks
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import cue_of, plain_line
from quizzes.ragas.telling import NOT_YET, SORTS, evidence_of, tellable, told
from quizzes.ragas.tradition import ragas
from quizzes.ragas.words import as_other, listed, why

NOT_YET_LABEL = "Not enough heard yet"
OFFERED = 4
"""How many ragas are offered at most."""
LATER_OFFERED = 3
"""The same where it cannot be told yet: each further raga could make the phrase in doubt."""

PROMPTS = {
    "note": "Which raga is it?",
    "run": "Which raga is it?",
    NOT_YET: "Which raga is it?",
    "rest": "Which raga is it? Listen where it rests.",
    "register": "Which raga is it? Listen in which saptak it moves.",
    "treatment": "Which raga is it? Listen to the long swara.",
}
NAMES = {
    "note": "{} from a phrase, by its swaras",
    "run": "{} from a phrase, by its way up and down",
    "rest": "{} by where it rests",
    "register": "{} by its saptak",
    "treatment": "{} by how a swara is held",
    NOT_YET: "{} or another raga: can it be told yet?",
}


class RagaFromPhraseKind(RagaKind):
    name = "raga-from-phrase"
    title = "A phrase: which raga is it, or is not enough heard yet?"
    things = "raga by ear"

    def skills(self) -> tuple[Skill, ...]:
        return _skills()

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        sort, right = _asked(skill, setting)
        known, fresh = ragas(setting.tradition), Fresh(skill, seed)
        found = told(
            fresh,
            sort,
            right,
            known,
            met=ragas_in(setting.met),
            rivals=ragas_in(setting.rivals),
            size=LATER_OFFERED if sort == NOT_YET else OFFERED,
            seed=seed,
        )
        choices = [Choice(one, known[one].name, _skill_id(sort, one)) for one in found.offered]
        if sort in _MAY_BE_LATER:
            choices.append(Choice(NOT_YET, NOT_YET_LABEL, _skill_id(NOT_YET, right.id)))
        right_id = NOT_YET if sort == NOT_YET else right.id
        later_met = any(f":{NOT_YET}:" in met for met in setting.met)
        choices = fresh.shuffled(choices)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=PROMPTS[sort],
            choices=tuple(choices),
            right=(right_id,),
            cue=cue_of(
                fresh,
                found.line,
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone=drone_for(known[one] for one in found.offered),
            ),
            sargam=write(found.line),
            detail={"evidence": _kept(sort, found.line, right, found.offered, setting)},
            possible=possible_among(
                choices, right_id, setting, also=(NOT_YET,) if later_met else ()
            ),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        sort, right = _asked(question.skill, question.setting)
        known, line = ragas(question.setting.tradition), parse(question.sargam)
        offered = [choice.id for choice in question.choices if choice.id != NOT_YET]
        others = [known[one] for one in offered if one != right.id]
        if sort == NOT_YET:
            return _explained_later(question, given, line, right, others)
        found = {
            other.id: evidence
            for other in others
            if (evidence := evidence_of(sort, line, right, other)) is not None
        }
        last = max(found.values(), key=lambda evidence: evidence.at)
        shown = found.get(given, last)
        other = known[shown.against]
        return explanation_of(
            question,
            given,
            why=why(shown, line, right, other),
            deciding=places_of(shown),
            given_line=as_other(shown, line, other),
            given_plays=f"as {other.name} turns",
        )

    def introduce(self, question: Question) -> str:
        sort, right = _asked(question.skill, question.setting)
        if sort == NOT_YET:
            return (
                "Some phrases belong to more than one raga: then nobody can tell yet, "
                f"and to say so is right. Here is one of {right.name}."
            )
        return f"{right.name}. {right.about}".strip()


_MAY_BE_LATER = ("note", "run", NOT_YET)
"""Sorts among which it is offered that not enough was heard: they sound alike."""


def places_of(evidence: Evidence) -> tuple[int, ...]:
    """The notes to be marked: the one in question, and for a run those on both its sides."""
    if evidence.by == "run":
        return evidence.of - 1, evidence.of, evidence.of + 1
    return (evidence.of,)


def _explained_later(
    question: Question, given: str, line: Line, right: Raga, others: list[Raga]
) -> Explanation:
    """Why it cannot be told yet: who else makes this phrase."""
    swaras = swaras_of(line)
    makers = [right, *(other for other in others if admits(other, swaras))]
    names = listed(sorted(raga.name for raga in makers))
    reason = f"{names} make this phrase alike; nothing in it tells them apart."
    wrong = next((other for other in others if other.id == given), right)
    broken = surely_breaks(wrong, swaras)
    if broken is not None:
        evidence = Evidence(broken.by, wrong.id, broken.of, broken.at)
        reason = f"{why(evidence, line, right, wrong)} {reason}"
    rivals = [raga for raga in makers if raga is not wrong]
    return explanation_of(
        question,
        given,
        why=reason,
        given_line=_only_of(question.seed, wrong, rivals),
        given_plays=f"a phrase by which {wrong.name} is told",
    )


def _only_of(seed: int, raga: Raga, rivals: list[Raga]) -> Line:
    """A phrase of the raga that as few as possible of its rivals could make."""
    fresh = Fresh(f"only of {raga.id}", seed)
    grown = [grow(fresh, raga) for _ in range(40)]
    return plain_line(
        max(
            grown,
            key=lambda swaras: sum(surely_breaks(rival, swaras) is not None for rival in rivals),
        )
    )


def _kept(
    sort: str, line: Line, right: Raga, offered: tuple[str, ...], setting: Setting
) -> dict[str, str]:
    """For the log: what told the right raga from each other one."""
    known = ragas(setting.tradition)
    kept = {}
    for one in offered:
        if one != right.id and sort != NOT_YET:
            evidence = evidence_of(sort, line, right, known[one])
            kept[one] = "none" if evidence is None else f"{evidence.by} at {evidence.of}"
    return kept


@cache
def _skills() -> tuple[Skill, ...]:
    known = ragas()
    return tuple(
        _skill(sort, raga) for sort in SORTS for raga in known.values() if _is_asked(sort, raga)
    )


def _is_asked(sort: str, raga: Raga) -> bool:
    return bool(tellable(sort, raga, ragas()))


def _skill(sort: str, raga: Raga) -> Skill:
    return Skill(
        id=f"{RagaFromPhraseKind.name}:{sort}:{raga.id}",
        kind=RagaFromPhraseKind.name,
        name=capital(NAMES[sort].format(raga.name)),
        family="perception",
        cluster=f"raga {raga.that.value or 'of no that'}",
        chance=0.25 if sort in _MAY_BE_LATER else 0.4,
        seconds=20.0,
    )


def _skill_id(sort: str, raga: str) -> str | None:
    """The skill that this raga's own question of the sort would show, where there is one."""
    wished = f"{RagaFromPhraseKind.name}:{sort}:{raga}"
    return wished if any(skill.id == wished for skill in _skills()) else None


def _asked(skill: str, setting: Setting) -> tuple[str, Raga]:
    """The sort and the raga of a skill. Raises UnknownSkill."""
    parts = skill.split(":")
    if len(parts) != 3 or parts[1] not in SORTS or raga_in(skill) not in ragas():
        raise UnknownSkill(f"{skill!r} is not asked; `main.py kinds raga-from-phrase` lists all")
    return parts[1], known_to(setting, skill)
