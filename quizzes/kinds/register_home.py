"""`register:home:sohni`: does the alap of this raga live low or high? A phrase is heard there.

Only plain opposites are asked, behind which a source or the teacher stands: ragas that live in tar
and nowhere else, and ragas at home in mandra. As many of the one as of the other, or most guesses
at the more frequent would be right.
"""

from __future__ import annotations

from functools import cache

from audio.line import Line
from audio.sargam import parse, write
from audio.score import Score
from quizzes.errors import UnknownSkill
from quizzes.fresh import Fresh
from quizzes.kinds.register_path import clearest, steps_off
from quizzes.names import capital
from quizzes.question import Choice, Explanation, Question, Setting, Skill
from quizzes.ragas.asking import evenly
from quizzes.ragas.growing import grow
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import TEMPOS, cue_of, explained_cue, hand_of, raga_line
from quizzes.ragas.tradition import ragas
from quizzes.stages.stage import Form

HOMES = {"low": "low, in mandra and madhya", "high": "high, in tar"}
SAPTAK = {"low": "mandra", "high": "tar"}
LIES = {"low": (-24.0, 0.0), "high": (11.0, 36.0)}
"""So many semitones above the middle Sa a phrase lies on the whole, from and to."""
GAIT = "grave"
"""As an alap goes, whatever the raga."""
FEWEST, MOST = 4, 7
"""How many swaras a phrase has."""
SECONDS = 16.0


class Homes:
    way = "home"

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return tuple(
            Skill(
                id=f"register:{self.way}:{raga.id}",
                kind="register",
                name=f"{raga.name}: where its alap lives",
                family="facts",
                cluster="where an alap lives",
                chance=1 / len(HOMES),
                seconds=SECONDS,
            )
            for raga in _asked()
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        raga = _raga_of(skill, setting)
        fresh, home = Fresh(skill, seed), home_of(raga)
        line = _phrase(fresh, raga, home)
        return Question(
            kind="register",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=f"Where does the alap of {raga.name} mostly live? You hear a phrase there.",
            choices=tuple(Choice(one, capital(HOMES[one])) for one in fresh.shuffled(list(HOMES))),
            right=(home,),
            cue=cue_of(
                fresh,
                line,
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone=raga.drone,
                tempo=TEMPOS[GAIT],
                hand=hand_of(GAIT),
                raga=raga,
            ),
            sargam=write(line),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        raga = _raga_of(question.skill, question.setting)
        home = home_of(raga)
        why, given_cue, plays = f"The alap of {raga.name} lives {HOMES[home]}.", None, ""
        if given != home:
            fresh = Fresh(f"beside {question.skill}", question.seed)
            others = [one for one in _asked() if home_of(one) == given]
            other = fresh.one_of(others)
            why += f" {other.name} lives {HOMES[given]}."
            given_cue = _played(question, other, _phrase(fresh, other, given))
            plays = f"a phrase of {other.name}"
        return Explanation(
            right_label=question.choice(home).label,
            given_label=question.choice(given).label,
            why=why,
            right_cue=_played(question, raga, parse(question.sargam)),
            given_cue=given_cue,
            given_plays=plays,
        )

    def introduce(self, question: Question) -> str:
        raga = _raga_of(question.skill, question.setting)
        return (
            "Some ragas mostly live in one part of their compass, the low one or the high one. "
            f"The alap of {raga.name} lives {HOMES[home_of(raga)]}."
        )


def home_of(raga: Raga) -> str:
    """`low` or `high`; "" where it is neither, or not sure."""
    saptaks = set(raga.register.value) if raga.register.sure else set()
    if saptaks == {"tar"}:
        return "high"
    return "low" if "mandra" in saptaks and "tar" not in saptaks else ""


@cache
def _asked() -> tuple[Raga, ...]:
    """As shipped, as many of each home."""
    known = ragas().values()
    of_home = {home: [raga for raga in known if home_of(raga) == home] for home in HOMES}
    count = min(map(len, of_home.values()))
    return tuple(raga for some in of_home.values() for raga in evenly(some, count))


def _raga_of(skill: str, setting: Setting) -> Raga:
    """The raga of a skill, as the teacher has it. Raises UnknownSkill."""
    name = skill.rpartition(":")[2]
    raga = ragas(setting.tradition).get(name)
    if raga is None or not home_of(raga) or name not in {each.id for each in _asked()}:
        raise UnknownSkill(f"{skill!r} is not asked; `main.py kinds register` lists what is")
    return raga


def _phrase(fresh: Fresh, raga: Raga, home: str) -> Line:
    """One that plainly lies where the raga lives."""

    def drawn() -> Line:
        swaras = grow(fresh, raga, fewest=FEWEST, most=MOST, saptak=SAPTAK[home], gait=GAIT)
        return raga_line(fresh, raga, swaras, gait=GAIT)

    return clearest(drawn, lambda line: steps_off(line, LIES[home]))[0]


def _played(question: Question, raga: Raga, line: Line) -> Score:
    return explained_cue(
        line,
        sa_hz=question.cue.sa_hz,
        tuning=question.setting.tuning,
        drone=raga.drone,
        matras_per_min=sum(TEMPOS[GAIT]) / 2,
        hand=hand_of(GAIT),
        raga=raga,
    )
