"""`raga-tanpura`: which first string of the tanpura suits this raga: Pa, Ma or Ni?

The phrase is heard without a tanpura, after its Sa; once answered, over the right one and over the
one that was chosen. Only strings that are foreign to the raga in everybody's teaching are offered
beside the right one, and Pa is asked for only where it has weight and is heard both up and down.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from audio.line import BAR, REST, Beat, Line, Tone
from audio.sargam import parse, write
from audio.score import Score
from audio.tuning import Swara
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import counted
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import EXPLAINED_TEMPO, RagaKind, drawn_in, label_of, raga_skill, split
from quizzes.ragas.evidence import REST_MATRAS
from quizzes.ragas.growing import SAPTAK_MIDDLES, Swaras, grow
from quizzes.ragas.raga import Raga
from quizzes.ragas.resting import name_beside
from quizzes.ragas.said import raga_name
from quizzes.ragas.sounding import cue_of, explained_cue, plain_line
from quizzes.ragas.tradition import FIRST_STRINGS
from quizzes.ragas.words import letter_name
from words import say, to_say

SA_FIRST = (Beat((Tone(Swara(0, 0)),), REST_MATRAS), Beat((REST,)), BAR)
"""Without a tanpura the phrase needs its Sa before it."""


class RagaTanpuraKind(RagaKind):
    name = "raga-tanpura"
    title = to_say("A phrase of a raga without a tanpura: which first string suits it?")

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say("The first string of the tanpura for {raga}", raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(count, "{number} first string", "{number} first strings")

    def skills_among(self, known: Mapping[str, Raga]) -> tuple[Skill, ...]:
        return tuple(_skill(raga) for raga in known.values() if _is_asked(raga))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        raga, fresh = _asked(skill, setting), Fresh(skill, seed)
        line = Line((*SA_FIRST, *plain_line(_phrase(fresh, raga)).items))
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("Which first string of the tanpura suits {raga}?", raga=raga_name(raga)),
            choices=tuple(
                Choice(string, letter_name(string)) for string in fresh.shuffled(_offered(raga))
            ),
            right=(raga.drone,),
            cue=cue_of(fresh, line, sa_hz=setting.sa_hz, tuning=setting.tuning, drone=None),
            sargam=write(line),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        raga = _asked(question.skill, question.setting)
        line, right = parse(question.sargam), question.right[0]
        played = _over(question, line, right)
        deciding = [place for place, note in enumerate(line.notes()) if note.swara.letter == right]
        return Explanation(
            right_label=label_of(question, right),
            given_label=label_of(question, given),
            why=_why_and_why_not(raga, given),
            right_cue=played,
            given_cue=None if given == right else _over(question, line, given),
            given_plays=""
            if given == right
            else say(
                "the phrase over {string} and {sa}",
                string=letter_name(given),
                sa=letter_name("S"),
            ),
            drawn=drawn_in(line, played, deciding),
        )

    def introduce(self, question: Question) -> str:
        raga = _asked(question.skill, question.setting)
        return say(
            "The first string of a tanpura is tuned to {pa}, to {ma} or to {ni}, as the raga wants "
            "it. {why}.",
            pa=letter_name("P"),
            ma=letter_name("m"),
            ni=letter_name("N"),
            why=_why(raga),
        )


def _phrase(fresh: Fresh, raga: Raga) -> Swaras:
    """A phrase in which the swara of the string is heard; any, where it is the teacher's wish
    alone. It may lie in any saptak."""
    saptak = fresh.one_of(tuple(SAPTAK_MIDDLES))
    try:
        return grow(fresh, raga, saptak=saptak, touching=frozenset((raga.drone,)))
    except ValueError:
        return grow(fresh, raga, saptak=saptak)


def _over(question: Question, line: Line, string: str) -> Score:
    return explained_cue(
        line,
        sa_hz=question.cue.sa_hz,
        tuning=question.setting.tuning,
        drone=string,
        matras_per_min=EXPLAINED_TEMPO,
    )


def _why(raga: Raga) -> str:
    """Why its string is the right one."""
    names = {"raga": raga_name(raga), "string": letter_name(raga.drone)}
    if raga.first_string:
        return say("Your teacher tunes the first string to {string} for {raga}", **names)
    if raga.drone == "P":
        return say(
            "{raga} has {string} both up and down, and the first string is tuned to it", **names
        )
    missing = [name_beside(one, raga.allowed) for one in FIRST_STRINGS if one not in raga.own]
    if raga.drone == "m":
        missing = [letter_name("P")]
    if len(missing) == 1:
        return say(
            "{raga} has no {swara}, so the first string is tuned to {string}",
            swara=missing[0],
            **names,
        )
    return say(
        "{raga} has no {swara} and no {other}, so the first string is tuned to {string}",
        swara=missing[0],
        other=missing[1],
        **names,
    )


def _why_and_why_not(raga: Raga, given: str) -> str:
    """The same, and what speaks against the string that was answered, where that is not said
    already."""
    is_told = given == "P" or raga.drone == "N" or bool(raga.first_string)
    if given == raga.drone or is_told:
        return say("{why}.", why=_why(raga))
    return say("{why}; it has no {swara}.", why=_why(raga), swara=name_beside(given, raga.allowed))


# Which ragas.


@cache
def _offered(raga: Raga) -> tuple[str, ...]:
    """The strings that are offered: all where the teacher has said which it is; else the right one
    and those that are foreign to the raga."""
    surely = tuple(one for one in FIRST_STRINGS if one == raga.drone or _is_foreign(raga, one))
    return FIRST_STRINGS if raga.first_string or len(surely) < 2 else surely


def _is_foreign(raga: Raga, letter: str) -> bool:
    return letter not in raga.ever | raga.allowed


def _is_asked(raga: Raga) -> bool:
    """Whether the right string is beyond doubt: Pa where it is heard both up and down, and where it
    is vadi or samvadi or has no rival at all; another one where Pa is foreign."""
    if raga.drone != "P":
        return _is_foreign(raga, "P")
    both_ways = "P" in raga.scale.value.up & raga.scale.value.down
    weighty = "P" in raga.vadi.value or _is_foreign(raga, "N")
    # Ma is what Pa gives way to; where it is the raga's own some tune to it.
    return both_ways and weighty and _is_foreign(raga, "m")


def _skill(raga: Raga) -> Skill:
    return raga_skill(
        RagaTanpuraKind.name,
        raga,
        RagaTanpuraKind.called("", raga),
        cluster="first string of the tanpura",
        family="facts",
        chance=1 / len(_offered(raga)),
        seconds=14.0,
    )


def _asked(skill: str, setting: Setting) -> Raga:
    """The raga of a skill. Raises UnknownSkill."""
    return split(skill, "raga-tanpura", setting)[1]
