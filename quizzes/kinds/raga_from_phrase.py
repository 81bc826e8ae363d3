"""`raga-from-phrase`: which of these ragas is it, or can it not be told yet?

The levels are sorts of evidence, from a swara that the others have not to a rest, a register or a
treatment in which alone they differ; in between, phrases of which more than one raga is.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

from audio.line import Beat, Line
from audio.sargam import parse, write
from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import capital, counted, listed
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import NearKind, drone_for, explanation_of, ragas_in, skill_id
from quizzes.ragas.evidence import REST_MATRAS, Evidence, separates, swaras_of
from quizzes.ragas.growing import grow
from quizzes.ragas.movement import makes, surely_breaks
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import and_about, as_it_turns, raga_name
from quizzes.ragas.sounding import cue_of, plain_line
from quizzes.ragas.telling import (
    FINE,
    NOT_YET,
    PLAIN,
    SORTS,
    Told,
    fine_pairs,
    near_told,
    told,
    told_apart,
)
from quizzes.ragas.tradition import ragas
from quizzes.ragas.words import as_other, why, why_all
from words import say, to_say

NOT_YET_LABEL = to_say("Not enough heard yet")
OFFERED = 4
"""How many ragas are offered where a phrase is to be told by its swaras and ways."""
OFTEN_SHARED = 3
"""That it cannot be told yet is asked of ragas that share phrases with so many near ones: it should
not be right more often than a raga is."""

LISTEN = {
    "rest": to_say("{raga} or {other}? Listen where it rests."),
    "register": to_say("{raga} or {other}? Listen in which saptak it moves."),
    "treatment": to_say("{raga} or {other}? Listen to the long swara."),
}
NAMES = {
    "note": to_say("{raga} from a phrase, by its swaras"),
    "run": to_say("{raga} from a phrase, by its ways up and down"),
    NOT_YET: to_say("{raga} or another raga: can it be told yet?"),
}
NAMES_OF_TWO = {
    "rest": to_say("{raga} or {other} by where it rests"),
    "register": to_say("{raga} or {other} by its saptak"),
    "treatment": to_say("{raga} or {other} by how a swara is held"),
}


class RagaFromPhraseKind(NearKind):
    name = "raga-from-phrase"
    title = to_say("A phrase: which raga is it, or is not enough heard yet?")

    def name_of(self, skill: str, tradition: str = "") -> str:
        sort, ids = _parted(skill, tradition)
        return _called(sort, [ragas(tradition)[one] for one in ids])

    def several(self, count: int) -> str:
        return counted(count, "{number} phrase to name", "{number} phrases to name")

    def skills_of_some(self, known: Mapping[str, Raga], some: Collection[str]) -> tuple[Skill, ...]:
        plain = [
            (sort, (raga.id,))
            for sort in PLAIN
            for raga in map(known.__getitem__, some)
            if _is_asked(sort, raga, known)
        ]
        pairs = [(sort, pair) for sort in FINE for pair in fine_pairs(sort, known, some)]
        return tuple(_skill(sort, [known[one] for one in ids]) for sort, ids in (*plain, *pairs))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        sort, ids = _asked(skill, setting)
        known, fresh = ragas(setting.tradition), Fresh(skill, seed)
        if sort in FINE:
            right = known[fresh.one_of(ids)]
            (other,) = (known[one] for one in ids if one != right.id)
            found = Told(told_apart(fresh, sort, right, other), ids)
            choices = [Choice(one, raga_name(known[one])) for one in ids]
            prompt = say(LISTEN[sort], **_two([known[one] for one in ids]))
        else:
            right = known[ids[0]]
            found = told(
                fresh,
                sort,
                right,
                known,
                met=ragas_in(setting.met, setting.tradition),
                rivals=ragas_in(setting.rivals, setting.tradition),
                size=OFFERED,
                seed=seed,
            )
            choices = [
                Choice(one, raga_name(known[one]), _skill_id(sort, one, known))
                for one in found.offered
            ]
            if sort == NOT_YET or _is_later_met(setting):
                later = _skill_id(NOT_YET, right.id, known)
                choices.append(Choice(NOT_YET, say(NOT_YET_LABEL), later))
            prompt = say("Which raga is it?")
        right_id = NOT_YET if sort == NOT_YET else right.id
        choices = fresh.shuffled(choices)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=prompt,
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
            detail={
                "raga": right.id,
                "evidence": _kept(sort, found.line, right, found.offered, setting),
            },
            possible=None if sort in FINE else _possible(choices, right_id, setting),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        sort, _ = _asked(question.skill, question.setting)
        known, line = ragas(question.setting.tradition), parse(question.sargam)
        right = known[question.detail["raga"]]
        offered = [choice.id for choice in question.choices if choice.id != NOT_YET]
        others = [known[one] for one in offered if one != right.id]
        if sort == NOT_YET:
            return _explained_later(question, given, line, right, others)
        found = told_from(line, right, others, sort)
        return explained_apart(question, given, line, right, found, known)

    def introduce(self, question: Question) -> str:
        sort, _ = _asked(question.skill, question.setting)
        right = ragas(question.setting.tradition)[question.detail["raga"]]
        if sort == NOT_YET:
            return say(
                "Some phrases belong to more than one raga: then nobody can tell yet, "
                "and to say so is right. Here is one of {raga}.",
                raga=raga_name(right),
            )
        return and_about(say("{raga}.", raga=raga_name(right)), right)


def told_from(line: Line, right: Raga, others: Iterable[Raga], *sorts: str) -> dict[str, Evidence]:
    """What tells the right raga from each other one that it is told from; by their ids."""
    found = {other.id: separates(line, right, other, *sorts) for other in others}
    return {other: evidence for other, evidence in found.items() if evidence is not None}


def explained_apart(
    question: Question,
    given: str,
    line: Line,
    right: Raga,
    found: Mapping[str, Evidence],
    known: Mapping[str, Raga],
) -> Explanation:
    """By what the phrase was to be known, and how the raga that was answered would have turned."""
    last = max(found.values(), key=lambda evidence: evidence.at)
    shown = found.get(given, last)
    other = known[shown.against]
    return explanation_of(
        question,
        given,
        why=why(shown, line, right, other)
        if given in found
        else why_all(found.values(), line, right, known),
        deciding=_all_places([shown] if given in found else found.values(), line),
        given_line=_until(last, line) if given == NOT_YET else as_other(shown, line, other),
        given_plays=say("as far as it could not be told")
        if given == NOT_YET
        else as_it_turns(other),
    )


def _is_later_met(setting: Setting) -> bool:
    """Whether the student has been told that a phrase may belong to several ragas: before that the
    answer would only be in the way."""
    return any(f":{NOT_YET}:" in met for met in setting.met)


def _until(evidence: Evidence, line: Line) -> Line:
    """The phrase without the moment at which it was known, or with its first swara alone."""
    notes = list(line.notes())[: max(evidence.at, 1)]
    return Line(tuple(Beat((note.tone,), note.matras) for note in notes))


def places_of(evidence: Evidence, line: Line) -> tuple[int, ...]:
    """The notes to be marked: the one in question; for a run those on both its sides as well, for a
    rest or a treatment every long one of the same swara, for a saptak all."""
    notes = list(line.notes())
    if evidence.by == "run":
        return evidence.of - 1, evidence.of, evidence.of + 1
    if evidence.by == "register":
        return tuple(range(len(notes)))
    if evidence.by == "note":
        return (evidence.of,)
    letter = notes[evidence.of].swara.letter
    long = [n.swara.letter == letter and n.matras >= REST_MATRAS for n in notes]
    return tuple(place for place, marked in enumerate(long) if marked)


def _all_places(found: Iterable[Evidence], line: Line) -> tuple[int, ...]:
    return tuple({place: None for each in found for place in places_of(each, line)})


def _explained_later(
    question: Question, given: str, line: Line, right: Raga, others: list[Raga]
) -> Explanation:
    """Why it cannot be told yet: who else makes this phrase."""
    swaras = swaras_of(line)
    makers = [right, *(other for other in others if makes(other, swaras))]
    names = listed(sorted(map(raga_name, makers)))
    if len(makers) == 2:
        reason = say("{ragas} both move like this; it could be either.", ragas=names)
    else:
        reason = say("{ragas} all move like this; it could be any of them.", ragas=names)
    wrong = next((other for other in others if other.id == given), right)
    evidence = separates(line, right, wrong, "run")
    if evidence is not None:
        reason = f"{why(evidence, line, right, wrong)} {reason}"
    rivals = [raga for raga in makers if raga is not wrong]
    return explanation_of(
        question,
        given,
        why=reason,
        given_line=_only_of(question.seed, wrong, rivals),
        given_plays=say("a phrase that shows {raga}", raga=raga_name(wrong)),
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
            evidence = separates(line, right, known[one], sort)
            kept[one] = "none" if evidence is None else f"{evidence.by} at {evidence.of}"
    return kept


def _possible(choices: Sequence[Choice], right: str, setting: Setting) -> tuple[str, ...]:
    """Without ragas whose plain phrases were never asked, and without NOT_YET until it was."""
    begun = set()
    for met in setting.met:
        _, sort, raga = met.split(":") if met.count(":") == 2 else ("", "", "")
        begun |= {NOT_YET if sort == NOT_YET else raga} if sort in PLAIN else set()
    return tuple(choice.id for choice in choices if choice.id in begun | {right})


def _is_asked(sort: str, raga: Raga, known: Mapping[str, Raga]) -> bool:
    fewest = {"note": 0, "run": 1, NOT_YET: OFTEN_SHARED}[sort]
    return len(near_told(sort, raga, known)) >= fewest


def _called(sort: str, of: Sequence[Raga]) -> str:
    if sort in FINE:
        return capital(say(NAMES_OF_TWO[sort], **_two(of)))
    return capital(say(NAMES[sort], raga=raga_name(of[0])))


def _two(of: Sequence[Raga]) -> dict[str, str]:
    return dict(zip(("raga", "other"), map(raga_name, of), strict=True))


def _skill(sort: str, of: Sequence[Raga]) -> Skill:
    first = of[0]
    return Skill(
        id=skill_id(RagaFromPhraseKind.name, "-".join(raga.id for raga in of), sort),
        kind=RagaFromPhraseKind.name,
        name=_called(sort, of),
        family="perception",
        cluster=f"raga {first.that.value or 'of no that'}",
        chance=1 / len(of) if sort in FINE else 1 / (OFFERED + 1),
        seconds=20.0,
    )


def _skill_id(sort: str, raga: str, known: Mapping[str, Raga]) -> str | None:
    """The skill that this raga's own question of the sort would show, where there is one."""
    asked = _is_asked(sort, known[raga], known)
    return skill_id(RagaFromPhraseKind.name, raga, sort) if asked else None


def _asked(skill: str, setting: Setting) -> tuple[str, tuple[str, ...]]:
    """The sort and the ids of the ragas of a skill. Raises UnknownSkill."""
    return _parted(skill, setting.tradition)


def _parted(skill: str, tradition: str) -> tuple[str, tuple[str, ...]]:
    parts = skill.split(":")
    ids = tuple(parts[-1].split("-"))
    wanted = 2 if len(parts) == 3 and parts[1] in FINE else 1
    if (
        len(parts) != 3
        or parts[1] not in SORTS
        or len(ids) != wanted
        or not set(ids) <= ragas(tradition).keys()
    ):
        raise UnknownSkill(f"{skill!r} is not asked; `main.py kinds raga-from-phrase` lists all")
    return parts[1], ids
