"""`register:path:mandra-madhya-tar`: through which saptaks does an alap of three phrases go?

It goes from one saptak to the next, up or down, any way, so that the ear is asked; which way the
whole of an alap usually takes, and why, stands in the explanation, as the order of its stages has
it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from typing import TypeVar

from audio.score import Score
from quizzes.errors import UnknownSkill
from quizzes.fresh import Fresh
from quizzes.names import capital
from quizzes.question import Choice, Explanation, Question, Setting, Skill
from quizzes.ragas.tradition import ragas
from quizzes.stages.offering import CHOICES, drawn
from quizzes.stages.passages import SA_MOVES_SEMITONES, Passage, in_turn, passage
from quizzes.stages.stage import SAPTAKS, Form
from quizzes.stages.tradition import form

T = TypeVar("T")

PHRASE_S = (4.0, 5.5)
"""How long each phrase lasts."""
LIES = {"mandra": (-900.0, -150.0), "madhya": (200.0, 850.0), "tar": (1100.0, 2400.0)}
"""Within these its pitch lies on the whole, in cents above the middle Sa: far enough apart for
nobody to take the one for the other."""
TRIES = 12
"""So many phrases are drawn at most for one that lies so."""
SECONDS = 26.0

WORDS = {
    "mandra-madhya-tar": "from mandra through madhya to tar",
    "tar-madhya-mandra": "from tar through madhya to mandra",
    "madhya-mandra-madhya": "from madhya down to mandra and back",
    "madhya-tar-madhya": "from madhya up to tar and back",
    "mandra-madhya-mandra": "from mandra up to madhya and back",
    "tar-madhya-tar": "from tar down to madhya and back",
}
"""Every way of three phrases from one saptak to the next."""
PATHS = tuple(WORDS)


class Paths:
    way = "path"

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(
            Skill(
                id=_skill_id(path),
                kind="register",
                name=f"An alap {WORDS[path]}",
                family="perception",
                cluster="path of an alap",
                chance=1 / CHOICES,
                seconds=SECONDS,
            )
            for path in (PATHS if by_saptak(known) else ())
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        path = _path_of(skill, form(setting.tradition))
        fresh = Fresh(skill, seed)
        met = _paths_in(setting.met)
        offered = drawn(
            fresh, path, PATHS, CHOICES, near=_NEAR, met=met, rivals=_paths_in(setting.rivals)
        )
        sa_hz = fresh.moved_sa(setting.sa_hz, semitones=SA_MOVES_SEMITONES)
        raga = _raga_for(fresh, skill, seed, setting)
        phrases = _phrases(path, skill, seed, setting, raga, sa_hz)
        return Question(
            kind="register",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt="An alap of three phrases: through which saptaks does it go?",
            choices=tuple(Choice(each, capital(WORDS[each]), _skill_id(each)) for each in offered),
            right=(path,),
            cue=in_turn(phrases),
            sargam=" / ".join(phrase.sargam for phrase in phrases),
            detail={"raga": raga},
            possible=tuple(each for each in offered if each in {*met, path}),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        known = form(question.setting.tradition)
        path = _path_of(question.skill, known)
        given_cue = None
        if given != path:
            raga, sa_hz = question.detail["raga"], question.cue.sa_hz
            args = (question.skill, question.seed, question.setting, raga, sa_hz)
            given_cue = in_turn(_phrases(given, *args))
        return Explanation(
            right_label=question.choice(path).label,
            given_label=question.choice(given).label,
            why=f"It goes {WORDS[path]}. {_how_usual(path, known)}",
            right_cue=question.cue,
            given_cue=given_cue,
            given_plays="" if given == path else f"an alap {WORDS[given]}",
        )

    def introduce(self, question: Question) -> str:
        known = form(question.setting.tradition)
        path = _path_of(question.skill, known)
        return (
            "Mandra is the low saptak, below the middle Sa; madhya lies above it, up to the upper "
            f"Sa, where tar begins. This alap goes {WORDS[path]}. {_how_usual(path, known)}"
        )


def _raga_for(fresh: Fresh, skill: str, seed: int, setting: Setting) -> str:
    """A raga that has plain phrases in all saptaks, so that it tells no path: one that the student
    has begun, else a usual one."""
    begun = [raga for raga in setting.ragas if raga in ragas(setting.tradition)]
    usual = fresh.shuffled(form(setting.tradition).ragas)

    def off(raga: str) -> float:
        phrases = (_phrase(saptak, 1, skill, seed, setting, raga, 240.0) for saptak in SAPTAKS)
        return sum(away for _, away in phrases)

    offs = []
    for raga in (*fresh.shuffled(begun), *usual):
        offs.append((off(raga), raga))
        if offs[-1][0] == 0.0:
            break
    return min(offs)[1]


def _phrases(
    path: str, skill: str, seed: int, setting: Setting, raga: str, sa_hz: float
) -> tuple[Passage, ...]:
    """Those of a path, each another one."""
    saptaks = path.split("-")
    turns = [saptaks[: at + 1].count(saptak) for at, saptak in enumerate(saptaks)]
    return tuple(
        _phrase(saptak, turn, skill, seed, setting, raga, sa_hz)[0]
        for saptak, turn in zip(saptaks, turns, strict=True)
    )


def _phrase(
    saptak: str, turn: int, skill: str, seed: int, setting: Setting, raga: str, sa_hz: float
) -> tuple[Passage, float]:
    """One that plainly lies in a saptak, and by how many cents it does not; `turn` asks for the
    first or another one."""
    known, fresh = form(setting.tradition), Fresh(f"{skill} {saptak} {turn}", seed)
    stage = known.stages[by_saptak(known)[saptak]]
    return clearest(
        lambda: passage(
            fresh,
            stage,
            ragas(setting.tradition)[raga],
            sa_hz=sa_hz,
            tuning=setting.tuning,
            lasts_s=PHRASE_S,
            moves_sa=False,
        ),
        lambda found: _off(found.score, saptak),
    )


def clearest(draw: Callable[[], T], off: Callable[[T], float]) -> tuple[T, float]:
    """The first thing drawn that is not off, else the one that is the least; and by how much."""
    found = []
    for _ in range(TRIES):
        thing = draw()
        found.append((thing, off(thing)))
        if found[-1][1] == 0.0:
            break
    return min(found, key=lambda each: each[1])


def _off(score: Score, saptak: str) -> float:
    """By how many cents the pitch of its strokes, over their time, lies outside the saptak."""
    struck = [stroke for stroke in score.strokes if stroke.voice != "chikari"]
    whole_s = sum(stroke.duration_s for stroke in struck)
    cents = sum(stroke.path[-1][1] * stroke.duration_s for stroke in struck) / whole_s
    low, high = LIES[saptak]
    return max(low - cents, cents - high, 0.0)


def by_saptak(known: Form) -> Mapping[str, str]:
    """The stages of an alap that each stay in one saptak, by that; empty where one is wanting."""
    for division in known.divisions.values():
        registers = {known.stages[part].heard.register: part for part in division.parts}
        if division.ordered and set(registers) == {(saptak,) for saptak in SAPTAKS}:
            return {saptak: registers[saptak,] for saptak in SAPTAKS}
    return {}


def _how_usual(path: str, known: Form) -> str:
    """Whether the whole of an alap usually goes so, and why."""
    stages = by_saptak(known)
    usual = list(known.order.orders(list(stages.values())))
    if len(usual) != 1:
        return "An alap may unfold in more than one way."
    pairs = [known.order.pair(*each) for each in pairwise(usual[0])]
    whys = " ".join(f"{capital(pair.why)}." for pair in pairs if pair is not None)
    saptaks = {stage: saptak for saptak, stage in stages.items()}
    way = "-".join(saptaks[stage] for stage in usual[0])
    if way == path:
        return f"That is the usual path. {whys}"
    in_words = WORDS.get(way, f"through {way.replace('-', ', then ')}")
    return f"The whole of an alap usually goes {in_words}. {whys}"


def _alike(one: str, other: str) -> bool:
    """Whether two paths begin or end alike."""
    return any(one.split("-")[at] == other.split("-")[at] for at in (0, -1))


_NEAR = tuple(
    frozenset((one, other))
    for at, one in enumerate(PATHS)
    for other in PATHS[at + 1 :]
    if _alike(one, other)
)


def _skill_id(path: str) -> str:
    return f"register:{Paths.way}:{path}"


def _path_of(skill: str, known: Form) -> str:
    """The path of a skill. Raises UnknownSkill."""
    path = skill.rpartition(":")[2]
    if path not in PATHS or not by_saptak(known):
        raise UnknownSkill(f"{skill!r} is not asked; `main.py kinds register` lists what is")
    return path


def _paths_in(skills: Sequence[str]) -> tuple[str, ...]:
    return tuple(path for path in PATHS if _skill_id(path) in skills)
