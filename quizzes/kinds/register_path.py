"""`register:path:mandra-madhya-tar`: through which saptaks does an alap of three phrases go?

It goes from one saptak to the next, up or down, any way, so that the ear is asked; which way the
whole of an alap usually takes, and why, stands in the explanation, as the order of its stages has
it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import TypeVar

from audio.line import Line
from audio.score import Score
from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.register_words import WORDS, by_saptak, goes, how_usual, name_of_path
from quizzes.names import capital
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import drawn_in
from quizzes.ragas.growing import grow
from quizzes.ragas.several import one_after_another, read_apart, written_apart
from quizzes.ragas.sounding import cue_of, explained_cue, hand_of, raga_line
from quizzes.ragas.tradition import ragas
from quizzes.stages.offering import CHOICES, drawn
from quizzes.stages.stage import SAPTAKS, Form
from quizzes.stages.tradition import form
from words import in_script, say

T = TypeVar("T")

FEWEST, MOST = 3, 6
"""How many swaras a phrase has."""
GAIT = "medium"
"""Whatever the raga's own: three phrases are to be kept in mind."""
TEMPO = (84.0, 94.0)
"""In matras a minute."""
EXPLAINED_TEMPO = sum(TEMPO) / 2
LIES = {"mandra": (-12.0, -2.5), "madhya": (3.0, 8.5), "tar": (11.5, 24.0)}
"""So many semitones above the middle Sa a phrase lies on the whole, from and to: far enough apart
for nobody to take the one for the other."""
TRIES = 16
"""So many phrases are drawn for one that lies so, before another raga is tried."""
TURNS = 2
"""So often at most a path comes to one saptak."""
PAUSE_MATRAS = Fraction(3, 2)
"""Between two phrases."""
SECONDS = 26.0

PATHS = tuple(WORDS)


class Paths:
    way = "path"

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(
            Skill(
                id=_skill_id(path),
                kind="register",
                name=name_of_path(path),
                family="perception",
                cluster="path of an alap",
                chance=1 / CHOICES,
                seconds=SECONDS,
            )
            for path in (PATHS if by_saptak(known) else ())
        )

    def name_of(self, skill: str) -> str:
        return name_of_path(_path_in(skill))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        path = _path_of(skill, form(setting.tradition))
        fresh = Fresh(skill, seed)
        met = _paths_in(setting.met)
        offered = drawn(
            fresh, path, PATHS, CHOICES, near=_NEAR, met=met, rivals=_paths_in(setting.rivals)
        )
        raga = _raga_for(fresh, skill, seed, setting)
        lines = _phrases(path, skill, seed, setting.tradition, raga)
        taught = ragas(setting.tradition)[raga]
        return Question(
            kind="register",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("An alap of three phrases: through which saptaks does it go?"),
            choices=tuple(
                Choice(each, capital(say(WORDS[each])), _skill_id(each)) for each in offered
            ),
            right=(path,),
            cue=cue_of(
                fresh,
                one_after_another(lines, PAUSE_MATRAS),
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone=taught.drone,
                tempo=TEMPO,
                hand=hand_of(GAIT),
                raga=taught,
            ),
            sargam=written_apart(lines),
            detail={"raga": raga},
            possible=tuple(each for each in offered if each in {*met, path}),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        known = form(question.setting.tradition)
        path = _path_of(question.skill, known)
        line = one_after_another(read_apart(question.sargam), PAUSE_MATRAS)
        played, given_cue = _played(question, line), None
        if given != path:
            tradition, raga = question.setting.tradition, question.detail["raga"]
            lines = _phrases(given, question.skill, question.seed, tradition, raga)
            given_cue = _played(question, one_after_another(lines, PAUSE_MATRAS))
        return Explanation(
            right_label=question.choice(path).label,
            given_label=question.choice(given).label,
            why=" ".join(filter(None, [goes(path, given), how_usual(path, known)])),
            right_cue=played,
            given_cue=given_cue,
            drawn=drawn_in(line, played, (), tempo=EXPLAINED_TEMPO),
            right_written=in_script(question.sargam),
        )

    def introduce(self, question: Question) -> str:
        path = _path_of(question.skill, form(question.setting.tradition))
        return say(
            "Mandra is the low saptak, below the middle Sa; madhya lies above it, up to the upper "
            "Sa, where tar begins. This alap goes {path}.",
            path=say(WORDS[path]),
        )


def _raga_for(fresh: Fresh, skill: str, seed: int, setting: Setting) -> str:
    """A raga that has plain phrases in all saptaks, so that it tells no path: one that the student
    has begun, else a usual one, else any."""
    taught = ragas(setting.tradition)
    begun = fresh.shuffled([raga for raga in setting.ragas if raga in taught])
    usual = fresh.shuffled(form(setting.tradition).ragas)
    for raga in (*begun, *usual, *taught):
        if all(
            _phrase(saptak, turn, skill, seed, setting.tradition, raga)
            for turn in range(1, TURNS + 1)
            for saptak in SAPTAKS
        ):
            return raga
    raise AssertionError("no raga has plain phrases in all saptaks")


def _phrases(path: str, skill: str, seed: int, tradition: str, raga: str) -> list[Line]:
    """Those of a path, each another one, in a raga that has them."""
    saptaks = path.split("-")
    turns = [saptaks[: at + 1].count(saptak) for at, saptak in enumerate(saptaks)]
    found = [
        _phrase(saptak, turn, skill, seed, tradition, raga)
        for saptak, turn in zip(saptaks, turns, strict=True)
    ]
    return [line for line in found if line is not None]


@lru_cache(maxsize=64)
def _phrase(
    saptak: str, turn: int, skill: str, seed: int, tradition: str, raga: str
) -> Line | None:
    """One that plainly lies in a saptak, if the raga has any; `turn` asks for the first or another
    one."""
    fresh, taught = Fresh(f"{skill} {saptak} {turn} {raga}", seed), ragas(tradition)[raga]

    def one() -> Line:
        swaras = grow(fresh, taught, fewest=FEWEST, most=MOST, saptak=saptak, gait=GAIT)
        return raga_line(fresh, taught, swaras, gait=GAIT)

    line, off = clearest(one, lambda line: steps_off(line, LIES[saptak]))
    return None if off else line


def clearest(
    draw: Callable[[], T], off: Callable[[T], float], tries: int = TRIES
) -> tuple[T, float]:
    """The first thing drawn that is not off, else the one that is the least; and by how much."""
    found = []
    for _ in range(tries):
        thing = draw()
        found.append((thing, off(thing)))
        if found[-1][1] == 0.0:
            break
    return min(found, key=lambda each: each[1])


def steps_off(line: Line, lies: tuple[float, float]) -> float:
    """By how many semitones the swaras of a line, over their time, lie outside."""
    steps = sum(note.swara.steps * float(note.matras) for note in line.notes())
    usual = steps / float(sum(note.matras for note in line.notes()))
    low, high = lies
    return max(low - usual, usual - high, 0.0)


def _played(question: Question, line: Line) -> Score:
    raga = ragas(question.setting.tradition)[question.detail["raga"]]
    return explained_cue(
        line,
        sa_hz=question.cue.sa_hz,
        tuning=question.setting.tuning,
        drone=raga.drone,
        matras_per_min=EXPLAINED_TEMPO,
        hand=hand_of(GAIT),
        raga=raga,
    )


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
    if not by_saptak(known):
        raise not_asked(skill, "register")
    return _path_in(skill)


def _path_in(skill: str) -> str:
    """The same, whether the teacher has it or not. Raises UnknownSkill."""
    path = skill.rpartition(":")[2]
    if path not in PATHS:
        raise not_asked(skill, "register")
    return path


def _paths_in(skills: Sequence[str]) -> tuple[str, ...]:
    return tuple(path for path in PATHS if _skill_id(path) in skills)
