"""`raga-vadi`: which pair is taught as vadi and samvadi of this raga?

Of the pairs that are taught for it one is offered, beside pairs that nobody teaches for it. These
are the pairs of other ragas, each offered about as often as it is right, so that none of them is
known by its letters; and of no two swaras are both orders offered.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from itertools import permutations

from audio.line import Beat, Line, Tone
from audio.sargam import parse, write
from audio.tuning import SWARAS, Swara
from quizzes.choice_sets import wrong_weights
from quizzes.errors import UnknownSkill
from quizzes.fresh import Fresh
from quizzes.names import capital
from quizzes.question import Choice, Explanation, Question, Setting, Skill
from quizzes.ragas.asking import RagaKind, explanation_of, known_to
from quizzes.ragas.evidence import REST_MATRAS, swaras_of
from quizzes.ragas.growing import grow
from quizzes.ragas.movement import Swaras
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import cue_of, dwelling_line, plain_line
from quizzes.ragas.tradition import TEACHER, ragas
from quizzes.ragas.words import letter_name, listed

WRONG = 3
SAMVAD_STEPS = (5, 7)
"""A vadi and its samvadi mostly lie a fourth or a fifth apart (common practice)."""

Pair = tuple[str, str]


class RagaVadiKind(RagaKind):
    name = "raga-vadi"
    title = "A phrase of a named raga: which are its vadi and samvadi?"
    things = "vadi"

    def skills(self) -> tuple[Skill, ...]:
        return _skills()

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        raga, fresh = _asked(skill, setting), Fresh(skill, seed)
        right = fresh.one_of(offered_pairs(raga))
        pairs = fresh.shuffled([right, *_wrong(fresh, raga)])
        line = plain_line(_phrase(fresh, raga, right))
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=f"Which pair is taught as vadi and samvadi of {raga.name}?",
            choices=tuple(Choice(_id(pair), capital(_spoken(pair))) for pair in pairs),
            right=(_id(right),),
            cue=cue_of(fresh, line, sa_hz=setting.sa_hz, tuning=setting.tuning, drone=raga.drone),
            sargam=write(line),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        raga = _asked(question.skill, question.setting)
        right, answered = _pair(question.right[0]), _pair(given)
        swaras = swaras_of(parse(question.sargam))
        return explanation_of(
            question,
            given,
            why=_why(raga, right),
            line=dwelling_line(swaras, frozenset(right)),
            deciding=[place for place, swara in enumerate(swaras) if swara.letter in right],
            given_line=_dwelling_on(swaras, answered),
            given_plays=f"what dwells on {_spoken(answered)}",
        )

    def introduce(self, question: Question) -> str:
        raga = _asked(question.skill, question.setting)
        return (
            "The vadi of a raga is the swara with most weight, the samvadi the one that answers "
            f"it. {_why(raga, _pair(question.right[0]))}"
        )


def offered_pairs(raga: Raga) -> tuple[Pair, ...]:
    """The pairs of which one is offered as right: what the teacher says, else all that a source
    gives."""
    if raga.vadi.confidence == TEACHER:
        return (raga.vadi.value,)
    printed = {
        tuple(each.value.split())
        for each in raga.variants
        if each.of == "vadi" and "memory" not in each.source
    }
    return tuple(pair for pair in raga.pairs if pair == raga.vadi.value or pair in printed)


def _why(raga: Raga, right: Pair) -> str:
    vadi, samvadi = map(letter_name, right)
    told = f"{capital(vadi)} is the vadi of {raga.name} and {samvadi} its samvadi"
    others = [_spoken(pair) for pair in raga.pairs if pair != right]
    if not others:
        return f"{told}."
    joined = listed([other.replace(" and ", " with ") for other in others], "or")
    return f"{told}; others teach {joined}."


def _phrase(fresh: Fresh, raga: Raga, pair: Pair) -> Swaras:
    """A phrase in which both are heard; any, where the raga has none."""
    try:
        return grow(fresh, raga, touching=frozenset(pair))
    except ValueError:
        return grow(fresh, raga)


def _dwelling_on(swaras: Swaras, pair: Pair) -> Line:
    """The phrase with weight on these two; where it has not both, these alone."""
    if set(pair) <= {swara.letter for swara in swaras}:
        return dwelling_line(swaras, frozenset(pair))
    return Line(tuple(Beat((Tone(Swara(SWARAS.index(one), 0)),), REST_MATRAS) for one in pair))


def _wrong(fresh: Fresh, raga: Raga) -> list[Pair]:
    pool, weights = list(_untaught(raga)), _weights()
    drawn = fresh.weighted(pool, [weights.get(_id(pair), _RARE) for pair in pool], len(pool))
    chosen: list[Pair] = []
    for pair in drawn:
        if len(chosen) < WRONG and pair[::-1] not in chosen:
            chosen.append(pair)
    return chosen


_RARE = 0.05
"""The weight of a pair that is nobody's but this raga's teacher's."""


@cache
def _untaught(raga: Raga) -> tuple[Pair, ...]:
    """Pairs of its own swaras that nobody teaches for it in either order: those of other ragas, and
    where these are few all that lie a fourth or a fifth apart, at last other ragas' pairs with a
    foreign swara."""
    taught = {frozenset(pair) for pair in (*raga.pairs, *ragas()[raga.id].pairs)}
    own = [pair for pair in _pool() if set(pair) <= raga.own]
    found: list[Pair] = []
    for pairs in (own, _samvad_pairs(raga), _pool()):
        if len({frozenset(pair) for pair in found}) >= WRONG:
            break
        found += [pair for pair in pairs if frozenset(pair) not in taught and pair not in found]
    return tuple(found)


def _samvad_pairs(raga: Raga) -> list[Pair]:
    return [
        (one, other)
        for one, other in permutations(raga.notes.value, 2)
        if (SWARAS.index(other) - SWARAS.index(one)) % 12 in SAMVAD_STEPS
    ]


@cache
def _pool() -> tuple[Pair, ...]:
    """Every pair that may be right in some question."""
    pairs = (pair for raga in ragas().values() if raga.vadi.sure for pair in offered_pairs(raga))
    return tuple(dict.fromkeys(pairs))


@cache
def _weights() -> Mapping[str, float]:
    sure = [raga for raga in ragas().values() if raga.vadi.sure]
    cases = [
        (frozenset(map(_id, offered_pairs(raga))), frozenset(map(_id, _untaught(raga))))
        for raga in sure
    ]
    return wrong_weights(cases, WRONG)


def _id(pair: Pair) -> str:
    return "-".join(pair)


def _pair(choice: str) -> Pair:
    vadi, samvadi = choice.split("-")
    return vadi, samvadi


def _spoken(pair: Pair) -> str:
    return " and ".join(map(letter_name, pair))


@cache
def _skills() -> tuple[Skill, ...]:
    return tuple(_skill(raga) for raga in ragas().values() if raga.vadi.sure)


def _skill(raga: Raga) -> Skill:
    return Skill(
        id=f"{RagaVadiKind.name}:{raga.id}",
        kind=RagaVadiKind.name,
        name=f"Vadi and samvadi of {raga.name}",
        family="facts",
        cluster=f"vadi in {raga.that.value or 'no that'}",
        chance=1 / (1 + WRONG),
        seconds=14.0,
    )


def _asked(skill: str, setting: Setting) -> Raga:
    """The raga of a skill. Raises UnknownSkill."""
    if not any(known.id == skill for known in _skills()):
        raise UnknownSkill(f"{skill!r} is not asked; `main.py kinds raga-vadi` lists all")
    return known_to(setting, skill)
