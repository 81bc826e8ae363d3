"""`register:home:sohni`: does the alap of this raga live low or high?

What is heard first is a phrase of it between the two, so that the raga is what tells; where it
lives is heard afterwards. Only plain opposites are asked, behind which a source or the teacher
stands: ragas that live in tar and nowhere else, and ragas at home in mandra. As many of the one as
of the other, or most guesses at the more frequent would be right.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from audio.line import Line
from audio.sargam import write
from audio.score import Score
from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.register_path import clearest, steps_off
from quizzes.names import capital, swara_name
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import some_asked
from quizzes.ragas.growing import grow
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import raga_name
from quizzes.ragas.sounding import TEMPOS, cue_of, explained_cue, hand_of, raga_line
from quizzes.ragas.tradition import ragas
from quizzes.stages.stage import Form
from words import in_script, say, to_say

HOMES = {
    "low": to_say("low, in mandra and lower madhya"),
    "high": to_say("high, in upper madhya and tar"),
}
BETWEEN = "between"
SAPTAK = {"low": "mandra", BETWEEN: "madhya", "high": "tar"}
LIES = {"low": (-24.0, 0.0), BETWEEN: (2.5, 8.5), "high": (10.0, 36.0)}
"""So many semitones above the middle Sa a phrase lies on the whole, from and to."""
GAIT = "grave"
"""As an alap goes, whatever the raga."""
TRIES = 400
"""So many phrases are drawn for one that lies so: of some ragas one in twenty does."""
FEWEST, MOST = 4, 7
"""How many swaras a phrase has."""
SECONDS = 16.0


class Homes:
    way = "home"

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        return self.skills_among(ragas())

    def skills_among(self, known: Mapping[str, Raga]) -> tuple[Skill, ...]:
        return tuple(
            Skill(
                id=f"register:{self.way}:{raga.id}",
                kind="register",
                name=_name(raga),
                family="facts",
                cluster="where an alap lives",
                chance=1 / len(HOMES),
                seconds=SECONDS,
            )
            for raga in _asked(known)
        )

    def name_of(self, skill: str) -> str:
        raga = ragas().get(skill.rpartition(":")[2])
        if raga is None:
            raise not_asked(skill, "register")
        return _name(raga)

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        raga = _raga_of(skill, setting)
        fresh, home = Fresh(skill, seed), home_of(raga)
        line = _phrase(fresh, raga, BETWEEN)
        return Question(
            kind="register",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(
                "Where does the alap of {raga} mostly live? You hear a phrase of it in madhya.",
                raga=raga_name(raga),
            ),
            choices=tuple(
                Choice(one, capital(say(HOMES[one]))) for one in fresh.shuffled(list(HOMES))
            ),
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
        home, given_cue, plays = home_of(raga), None, ""
        line = _phrase(Fresh(f"home of {question.skill}", question.seed), raga, home)
        why = _reaches(raga, line, home)
        if given != home:
            fresh = Fresh(f"beside {question.skill}", question.seed)
            others = [one for one in _asked(ragas()) if home_of(one) == given]
            other = fresh.one_of(others)
            lives = say("{raga} lives {home}.", raga=raga_name(other), home=say(HOMES[given]))
            why += f" {lives}"
            given_cue = _played(question, other, _phrase(fresh, other, given))
            plays = say("a phrase of {raga}", raga=raga_name(other))
        return Explanation(
            right_label=question.choice(home).label,
            given_label=question.choice(given).label,
            why=why,
            right_cue=_played(question, raga, line),
            given_cue=given_cue,
            given_plays=plays,
            right_written=in_script(question.sargam),
        )

    def introduce(self, question: Question) -> str:
        raga = _raga_of(question.skill, question.setting)
        return say(
            "Some ragas mostly live in one part of their compass, the low one or the high one. "
            "The alap of {raga} lives {home}.",
            raga=raga_name(raga),
            home=say(HOMES[home_of(raga)]),
        )


def _name(raga: Raga) -> str:
    return say("{raga}: where its alap lives", raga=raga_name(raga))


def _reaches(raga: Raga, line: Line, home: str) -> str:
    """Where the alap lives, and how far a phrase of it goes there."""
    swaras = sorted((note.swara for note in line.notes()), key=lambda swara: swara.steps)
    end = swaras[0] if home == "low" else swaras[-1]
    return say(
        to_say("The alap of {raga} lives {home}: this phrase of it goes down to {swara}.")
        if home == "low"
        else to_say("The alap of {raga} lives {home}: this phrase of it goes up to {swara}."),
        raga=raga_name(raga),
        home=say(HOMES[home]),
        swara=swara_name(end),
    )


def home_of(raga: Raga) -> str:
    """`low` or `high`; "" where it is neither, or not sure."""
    saptaks = set(raga.register.value) if raga.register.sure else set()
    if saptaks == {"tar"}:
        return "high"
    return "low" if "mandra" in saptaks and "tar" not in saptaks else ""


def _asked(known: Mapping[str, Raga]) -> tuple[Raga, ...]:
    """As many of each home, the same as shipped and what a teacher has besides."""
    some = known.values()
    of_home = [[raga for raga in some if home_of(raga) == home] for home in HOMES]
    count = min(map(len, of_home))
    return tuple(
        raga for able in of_home for raga in some_asked(known, able, count, _asked_as_shipped)
    )


@cache
def _ids_as_shipped() -> frozenset[str]:
    return frozenset(raga.id for raga in _asked(ragas()))


def _asked_as_shipped(_: Mapping[str, Raga]) -> frozenset[str]:
    return _ids_as_shipped()


def _raga_of(skill: str, setting: Setting) -> Raga:
    """The raga of a skill, as the teacher has it. Raises UnknownSkill."""
    name = skill.rpartition(":")[2]
    known = ragas(setting.tradition)
    raga = known.get(name)
    if raga is None or not home_of(raga) or not _was_asked(raga, known):
        raise not_asked(skill, "register")
    return raga


def _was_asked(raga: Raga, known: Mapping[str, Raga]) -> bool:
    return raga.id in _ids_as_shipped() or raga in _asked(known)


def _phrase(fresh: Fresh, raga: Raga, home: str) -> Line:
    """One that plainly lies there."""

    def drawn() -> Line:
        swaras = grow(fresh, raga, fewest=FEWEST, most=MOST, saptak=SAPTAK[home], gait=GAIT)
        return raga_line(fresh, raga, swaras, gait=GAIT)

    return clearest(drawn, lambda line: steps_off(line, LIES[home]), TRIES)[0]


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
