"""A phrase, and which of the ragas that a teacher names it is: a phrase of the teacher's, or grown.

Where the teacher gives phrases, one of them sounds, drawn by the seed, at another Sa and tempo each
time. Else phrases are grown that tell the raga from all others offered.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import replace

from audio.line import Line
from audio.sargam import parse, write
from quizzes.decks.deck import KIND, Narrowed
from quizzes.decks.posed import Posed, deck_in, posed_in, skill_id, thing_in
from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kin import kin_of
from quizzes.kinds.raga_from_phrase import RagaFromPhraseKind, explained_apart, told_from
from quizzes.names import listed
from quizzes.question import Choice, Mark, Question, Setting, Skill
from quizzes.ragas.asking import explanation_of
from quizzes.ragas.choosing import shared_strings
from quizzes.ragas.evidence import rests_of, separates, treated_apart
from quizzes.ragas.growing import grow
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import cue_of, dwelling_line, plain_line
from quizzes.ragas.telling import LENGTHS
from quizzes.ragas.tradition import ragas
from words import say

TRIES = 120
"""So many phrases are grown at most until one tells the raga from all others."""
SECONDS = 20.0


class PhraseAmong:
    """`raga-from-phrase` with what is offered named by the teacher."""

    def make(self, posed: Posed, skill: str, *, seed: int, setting: Setting) -> Question:
        entry, fresh = _entry(posed), Fresh(skill, seed)
        known = ragas(setting.tradition)
        offered, right = offered_in(entry), thing_in(skill)
        if right not in offered or right not in known:
            raise UnknownSkill(f"{skill!r} is not asked: {entry.id} offers {', '.join(offered)}")
        others: Sequence[Raga] = [known[one] for one in offered if one != right and one in known]
        if right in entry.phrases:
            line = parse(fresh.one_of(entry.phrases[right]))
        else:
            line, others = grown_apart(fresh, known[right], others)
        whole = [known[right], *others]
        choices = fresh.shuffled(
            [Choice(one.id, say(one.name), _skill_of(skill, entry, one.id)) for one in whole]
        )
        strings = shared_strings(whole)
        cue = cue_of(
            fresh,
            line,
            sa_hz=setting.sa_hz,
            tuning=setting.tuning,
            drone=strings[0] if strings else None,
        )
        if not strings:  # then nothing else says where Sa is
            cue = replace(cue, sa_hz=setting.sa_hz)
        of_entry = skill_id(deck_in(skill), entry.id) + ":"
        met = {thing_in(one) for one in setting.met if one.startswith(of_entry)}
        return Question(
            kind=KIND,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("Which raga is it?"),
            choices=tuple(choices),
            right=(right,),
            cue=cue,
            sargam=write(line),
            possible=tuple(each.id for each in choices if each.id in met | {right}),
        )

    def mark(self, question: Question, given: str) -> Mark:
        choice = question.choice(given)
        return Mark(1.0) if given in question.right else Mark(0.0, heard=choice.skill)

    def explain(self, question: Question, given: str) -> Explanation:
        known, line = ragas(question.setting.tradition), parse(question.sargam)
        right, answered = known[question.right[0]], known[given]
        others = [known[choice.id] for choice in question.choices if choice.id != right.id]
        found = told_from(line, right, others)
        left = [other for other in others if other.id not in found]
        if given in found or (given == right.id and found):
            told = explained_apart(question, given, line, right, found, known)
            if given in found or not left:
                return told
            return replace(told, why=f"{told.why} {_left_open(question, left, right)}")
        why = _left_open(question, left if given == right.id else [answered], right)
        return explanation_of(
            question,
            given,
            why=f"{why} {_about(right)}".strip(),
            given_line=_own_line(question, answered),
            given_plays=say("a phrase of {raga}", raga=say(answered.name)),
        )

    def introduce(self, question: Question) -> str:
        right = ragas(question.setting.tradition)[question.right[0]]
        return f"{say('{text}.', text=say(right.name))} {_about(right)}".strip()


def _about(raga: Raga) -> str:
    return say(raga.about) if raga.about else ""


def _entry(posed: Posed) -> Narrowed:
    assert isinstance(posed.entry, Narrowed)  # only such entries name a kind
    return posed.entry


def offered_in(entry: Narrowed) -> tuple[str, ...]:
    """The ragas that are offered."""
    return entry.among or tuple(entry.phrases)


def things_in(entry: Narrowed) -> tuple[str, ...]:
    """The ragas that are asked: those with phrases, or all where the teacher gives none."""
    return tuple(one for one in offered_in(entry) if not entry.phrases or one in entry.phrases)


def skills_of(deck: str, entry: Narrowed, tradition: str) -> tuple[Skill, ...]:
    """A skill for each raga that is asked."""
    known = ragas(tradition)
    made = {one: skill_id(deck, entry.id, one) for one in things_in(entry) if one in known}
    return tuple(
        Skill(
            id=each,
            kind=KIND,
            name=_name_of(entry, known[one]),
            family="perception",
            cluster=f"deck {deck} {entry.id}",
            chance=1 / len(offered_in(entry)),
            seconds=SECONDS,
            kin=kin_of(each),
        )
        for one, each in made.items()
    )


def _name_of(entry: Narrowed, raga: Raga) -> str:
    """As the teacher calls the question, else as the kind calls its own."""
    if entry.name == RagaFromPhraseKind.title:
        return say("{raga} from a phrase", raga=say(raga.name))
    return say("{name}: {what}", name=entry.name, what=say(raga.name))


def _skill_of(skill: str, entry: Narrowed, raga: str) -> str | None:
    return skill_id(deck_in(skill), entry.id, raga) if raga in things_in(entry) else None


def grown_apart(fresh: Fresh, right: Raga, others: Sequence[Raga]) -> tuple[Line, Sequence[Raga]]:
    """A fresh phrase of `right` that tells it from all others, with these; where no phrase does,
    one that tells it from as many as can be, with those.

    A deck of which a raga is told from none is refused when it is read; should a teacher's word
    change that later, a phrase that the raga is known by sounds, with all others.
    """
    best: tuple[Line, Sequence[Raga]] = plain_line(fresh.one_of(right.phrases).swaras), ()
    for number in range(TRIES):
        with suppress(ValueError):  # a phrase of this length does not grow
            line = _some_line(fresh, right, others, plain=number % 2 == 0)
            apart = [other for other in others if separates(line, right, other) is not None]
            if len(apart) > len(best[1]):
                best = line, apart
            if len(apart) == len(others):
                break
    return best[0], best[1] or others


def _some_line(fresh: Fresh, right: Raga, others: Sequence[Raga], *, plain: bool) -> Line:
    """A grown phrase, all swaras alike; or dwelling where the raga dwells, swung as it swings."""
    size = fresh.one_of(LENGTHS)
    swaras = grow(fresh, right, fewest=size, most=size + 1)
    if plain:
        return plain_line(swaras)
    treated = _treated(right, others)
    if treated and fresh.between(0, 1) < 0.5:
        swung = next(iter(treated.values())) == "swung"
        return dwelling_line(swaras, frozenset(treated), sway="andolan" if swung else "")
    ends = frozenset((swaras[-1].letter,)) & rests_of(right)
    return dwelling_line(swaras, frozenset(right.vadi.value[:1]) | ends)


def _treated(right: Raga, others: Sequence[Raga]) -> Mapping[str, str]:
    """How this raga treats the letters that one of the others treats otherwise."""
    return {
        letter: ways[0] for other in others for letter, ways in treated_apart(right, other).items()
    }


def _left_open(question: Question, left: Sequence[Raga], right: Raga) -> str:
    """Of ragas that nothing in the phrase tells from the right one."""
    entry = _entry(posed_in(question.skill, question.setting))
    names = listed([say(other.name) for other in left], "or")
    if right.id in entry.phrases:
        return say(
            "Nothing in it rules out {ragas}; your teacher gives it as a phrase of {right}.",
            ragas=names,
            right=say(right.name),
        )
    return say(
        "Nothing in it rules out {ragas}; it is known as a phrase of {right}.",
        ragas=names,
        right=say(right.name),
    )


def _own_line(question: Question, raga: Raga) -> Line:
    """A phrase of the raga that was answered: the teacher's own, or a grown one."""
    fresh = Fresh(f"a phrase of {raga.id}", question.seed)
    lines = _entry(posed_in(question.skill, question.setting)).phrases.get(raga.id, ())
    return parse(fresh.one_of(lines)) if lines else plain_line(grow(fresh, raga))
