"""`raga-sa`: a phrase of a raga without a drone, then four of its swaras: which of them is Sa?

Sa is drawn anew over a whole octave, so that no Sa kept in mind helps. Only swaras are offered
beside it over which, as Sa, the phrase would surely leave the raga.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import combinations, islice

from audio.score import Drone, Score
from audio.tuning import SA_HZ_HIGHEST, SA_HZ_LOWEST, Swara, hz, load_tuning
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import counted, in_letters, ordinal
from quizzes.question import Question, Setting, Skill
from quizzes.ragas.asking import NearKind, as_shipped, explanation_of, raga_skill, split
from quizzes.ragas.evidence import swaras_of
from quizzes.ragas.movement import surely_breaks, surely_breaks_steps
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import raga_name
from quizzes.ragas.several import one_after_another, place_of, places, read_apart, written_apart
from quizzes.ragas.sounding import cue_of, plain_line
from quizzes.ragas.stock import Swaras, fresh_line, lines_in_stock, stock
from quizzes.ragas.words import full_name, letter_name
from words import say, to_say

COUNTS = (6, 7, 8)
"""How many swaras a phrase has."""
OFFERED = 4
WRONG = OFFERED - 1
APART_MATRAS = Fraction(1)
"""Between the swaras that are offered."""
FEWEST_LINES = 6
"""A raga of which fewer phrases can be asked would soon be known by heart."""
RANK_WEIGHTS = (1.0, 2.0, 2.0, 1.0)
"""By how many of the others lie below Sa. In most ragas there are phrases in which Sa is the lowest
or the highest of four, in fewer such that it is neither; so over all ragas each is as likely."""
LOWEST_MOVE, HIGHEST_MOVE = -7.0, 5.0
"""By how many semitones Sa is moved: by every part of an octave as likely as by any other."""


class RagaSaKind(NearKind):
    name = "raga-sa"
    title = to_say("A phrase of a raga without a drone: which swara is Sa?")

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say("Sa in a phrase of {raga} without a drone", raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(count, "{number} phrase without a drone", "{number} phrases without a drone")

    def skills_of_some(self, known: Mapping[str, Raga], some: Collection[str]) -> tuple[Skill, ...]:
        return tuple(_skill(raga) for raga in map(known.__getitem__, some) if _is_asked(raga))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        raga = _asked(skill, setting)
        fresh = Fresh(skill, seed)
        swaras, some = _drawn(fresh, raga)
        offered = fresh.shuffled(some)
        line, *alone = lines = [plain_line(swaras), *(plain_line([swara]) for swara in offered)]
        cue = cue_of(
            fresh,
            one_after_another([line, one_after_another(alone, APART_MATRAS)]),
            sa_hz=setting.sa_hz,
            tuning=setting.tuning,
            drone=None,
        )
        right = next(at for at, swara in enumerate(offered) if swara.letter == "S")
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(
                "A phrase of {raga} without a drone, then four of its swaras. Which of the four is "
                "Sa?",
                raga=raga_name(raga),
            ),
            choices=places(OFFERED),
            right=(str(right + 1),),
            cue=replace(cue, sa_hz=_moved(fresh, setting.sa_hz)),
            sargam=written_apart(lines),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        raga = _asked(question.skill, question.setting)
        line, *offered = read_apart(question.sargam)
        other = _wrong_one(question, given)
        taken = swaras_of(offered[place_of(other)])[0]
        told = explanation_of(
            replace(question, cue=replace(question.cue, drone=Drone(raga.drone))),
            given,
            why=say(
                "Sa is the {which}; the phrase is {phrase}. {otherwise}",
                which=_ordinal(question.right[0]),
                phrase=in_letters(swaras_of(line)),
                otherwise=_otherwise(raga, swaras_of(line), taken, _ordinal(other)),
            ),
            line=line,
            deciding=[at for at, swara in enumerate(swaras_of(line)) if swara.letter == "S"],
        )
        if given in question.right:
            return told
        return replace(
            told,
            given_cue=_over(taken, told.right_cue, question.setting),
            given_plays=say(
                "the same phrase, with the drone on the {which} as Sa", which=_ordinal(given)
            ),
            given_written=in_letters(_with_sa(swaras_of(line), taken)),
        )

    def introduce(self, question: Question) -> str:
        raga = _asked(question.skill, question.setting)
        return say(
            "Without a drone, {raga} is known by how its swaras lie to each other, and so Sa is "
            "known. Here a phrase of it over the drone, which will be silent when you are asked.",
            raga=raga_name(raga),
        )


def _wrong_one(question: Question, given: str) -> str:
    """What was answered where it was wrong, else what might have been."""
    wrong = (choice.id for choice in question.choices if choice.id not in question.right)
    return next(wrong) if given in question.right else given


def _ordinal(choice: str) -> str:
    return ordinal(place_of(choice))


def _otherwise(raga: Raga, swaras: Swaras, taken: Swara, which: str) -> str:
    """How the phrase leaves the raga with this swara, which stands in this place, as its Sa."""
    heard = _with_sa(swaras, taken)
    broken = surely_breaks(raga, heard)
    if broken is None:  # by a teacher's word that has come since it was asked
        return say(
            "With the {which} as Sa it would be {phrase}.", which=which, phrase=in_letters(heard)
        )
    letter, name = heard[broken.of].letter, raga_name(raga)
    if broken.by == "note":
        return say(
            "With the {which} as Sa it would have {swara}, which is foreign to {raga}.",
            which=which,
            swara=full_name(letter),
            raga=name,
        )
    rises = heard[broken.of].steps < heard[broken.of + 1].steps
    return say(
        _PASSES_UP if rises else _PASSES_DOWN, which=which, swara=letter_name(letter), raga=name
    )


_PASSES_UP = to_say(
    "With the {which} as Sa it would pass {swara} on the way up, where {raga} leaves it out."
)
_PASSES_DOWN = to_say(
    "With the {which} as Sa it would pass {swara} on the way down, where {raga} leaves it out."
)


def _with_sa(swaras: Swaras, taken: Swara) -> Swaras:
    """The swaras that are heard where this one is taken for Sa, nearest to where they lie."""
    return tuple(map(Swara.at, _steps_over(_steps(swaras), taken)))


def _steps(swaras: Swaras) -> list[int]:
    return [swara.steps for swara in swaras]


def _steps_over(steps: Sequence[int], taken: Swara) -> list[int]:
    """The same in semitones above Sa."""
    lift = (taken.steps + 6) % 12 - 6
    return [step - lift for step in steps]


def _over(taken: Swara, score: Score, setting: Setting) -> Score:
    """The same sounds over a drone on another swara as Sa, within reach of a tanpura."""
    cents = load_tuning(setting.tuning).cents_of(taken) % 1200.0
    if hz(cents, sa_hz=score.sa_hz) > SA_HZ_HIGHEST:
        cents -= 1200.0
    return replace(
        score,
        sa_hz=hz(cents, sa_hz=score.sa_hz),
        strokes=tuple(
            replace(stroke, path=tuple((time, place - cents) for time, place in stroke.path))
            for stroke in score.strokes
        ),
    )


def _moved(fresh: Fresh, sa_hz: float) -> float:
    """Sa anywhere within an octave of the student's own; no lower than one that can be chosen."""
    moved = sa_hz * 2 ** (fresh.between(LOWEST_MOVE, HIGHEST_MOVE) / 12)
    return round(moved if moved >= SA_HZ_LOWEST else 2 * moved, 3)


def _drawn(fresh: Fresh, raga: Raga) -> list[Swaras]:
    """A phrase, and Sa with three others of it where they are heard in it.

    It ends on Sa as often as on any other swara that is offered, and Sa is about as often the
    highest of them as the lowest or one between: neither tells.
    """
    found = _counts(raga)
    ends = fresh.between(0, OFFERED) < 1
    kept = {rank for end, rank in found if end == ends} or {rank for _, rank in found}
    ranks = sorted(kept)
    (rank,) = fresh.weighted(ranks, [RANK_WEIGHTS[rank] for rank in ranks], 1)
    ends = ends if (ends, rank) in found else not ends

    def fits(line: Swaras) -> bool:
        return (line[-1].letter == "S") == ends and bool(_offers(raga, line, rank))

    line = fresh_line(fresh, raga, fresh.one_of(found[ends, rank]), fits)
    return [line, fresh.one_of(_offers(raga, line, rank))]


def _offers(raga: Raga, swaras: Swaras, rank: int) -> list[Swaras]:
    """Sa of a phrase with all threes of its swaras that can be offered beside it, of which so many
    lie below it."""
    others = list(_wrong(raga, swaras).values())
    return [
        (sa, *below, *above)
        for sa in dict.fromkeys(swara for swara in swaras if swara.letter == "S")
        for below in combinations([each for each in others if each.steps < sa.steps], rank)
        for above in combinations([each for each in others if each.steps > sa.steps], WRONG - rank)
    ]


def _wrong(raga: Raga, swaras: Swaras) -> dict[str, Swara]:
    """By letter, the swaras over which as Sa the phrase surely leaves the raga; none
    where Sa is not heard."""
    met = {swara.letter: swara for swara in reversed(swaras)}
    if "S" not in met:
        return {}
    steps = _steps(swaras)
    return {
        letter: swara
        for letter, swara in met.items()
        if letter != "S" and surely_breaks_steps(raga, _steps_over(steps, swara)) is not None
    }


@cache
def _counts(raga: Raga) -> Mapping[tuple[bool, int], tuple[int, ...]]:
    """By whether a phrase ends on Sa, and how many of the others lie below Sa: how many swaras it
    may have."""
    found: dict[tuple[bool, int], set[int]] = {}
    for count in COUNTS:
        for line in stock(raga, count):
            for rank in _ranks(raga, line):
                found.setdefault((line[-1].letter == "S", rank), set()).add(count)
    return {key: tuple(sorted(counts)) for key, counts in found.items()}


def _ranks(raga: Raga, line: Swaras) -> list[int]:
    """How many of the others may lie below Sa where `_offers` offers something."""
    sas = {swara.steps for swara in line if swara.letter == "S"}
    others = [swara.steps for swara in _wrong(raga, line).values()]
    below = [sum(step < sa for step in others) for sa in sas]
    return [
        rank
        for rank in range(OFFERED)
        if any(low >= rank and len(others) - low >= WRONG - rank for low in below)
    ]


def _is_asked(raga: Raga) -> bool:
    lines = (line for count in COUNTS for line in lines_in_stock(raga, count))
    fitting = (line for line in lines if len(_wrong(raga, line)) >= WRONG)
    return len(list(islice(fitting, FEWEST_LINES))) == FEWEST_LINES


def _skill(raga: Raga) -> Skill:
    return raga_skill(
        RagaSaKind.name,
        raga,
        RagaSaKind.called("", raga),
        chance=1 / OFFERED,
        seconds=25.0,
    )


def _asked(skill: str, setting: Setting) -> Raga:
    """The raga of a skill, as the teacher has it where it can be asked so in that teaching. Raises
    UnknownSkill."""
    _, raga = split(skill, "raga-sa", setting)
    return raga if _counts(raga) else as_shipped(raga, skill)
