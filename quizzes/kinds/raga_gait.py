"""`raga-gait`: is this raga grave or light; and which of these is the grave one, or the light one?

How a raga moves is mostly known from memory and never a single answer, so only clear opposites are
asked: ragas that are grave and nothing else, and ragas that are light first and never grave. A
teacher's word stands above that.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from audio.line import Line
from audio.sargam import parse, write
from audio.score import Score
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import capital, counted, listed
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import (
    RagaKind,
    drawn_in,
    drone_for,
    label_of,
    possible_among,
    raga_skill,
    ragas_in,
    skill_id,
    some_asked,
    split,
)
from quizzes.ragas.choosing import shared_strings
from quizzes.ragas.evidence import REST_MATRAS, swaras_of
from quizzes.ragas.growing import grow
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import raga_name
from quizzes.ragas.sounding import TEMPOS, cue_of, explained_cue, hand_of, raga_line
from quizzes.ragas.tradition import ragas
from quizzes.ragas.words import letter_name
from quizzes.talas.cycle import in_figures
from words import say, say_as, to_say

GAITS = ("grave", "light")
WRONG = 3
ONE_AND_A_HALF = Fraction(3, 2)
FEWEST, MOST = 5, 7
"""How many swaras a phrase has."""
SORTS = ("alone", "among")


class RagaGaitKind(RagaKind):
    name = "raga-gait"
    title = to_say("A raga: is it grave or light?")
    sorts = SORTS

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        if sort == "alone":
            return say("{raga}: grave or light", raga=raga_name(raga))
        return say(_AMONG[gait_of(raga)], raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(count, "{number} gait", "{number} gaits")

    def skills_among(self, known: Mapping[str, Raga]) -> tuple[Skill, ...]:
        clear = [raga for raga in known.values() if is_clear(raga)]
        among = _among(known)
        return (
            *(_skill("alone", raga) for raga in clear),
            *(_skill("among", raga) for raga in clear if raga.id in among),
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        sort, raga = _asked(skill, setting)
        fresh, gait = Fresh(skill, seed), gait_of(raga)
        offered = [raga] if sort == "alone" else among(fresh, raga, setting)
        if sort == "alone":
            choices = [Choice(one, capital(_gait(one))) for one in GAITS]
            right = gait
            prompt = say("Is {raga} grave or light? You hear a phrase of it.", raga=raga_name(raga))
        else:
            choices = [
                Choice(one.id, raga_name(one), _skill_id(one.id, setting)) for one in offered
            ]
            right, prompt = raga.id, say(_PROMPTS[gait])
        choices = fresh.shuffled(choices)
        swaras = grow(fresh, raga, fewest=FEWEST, most=MOST, gait=gait)
        line = raga_line(fresh, raga, swaras, gait=gait)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=prompt,
            choices=tuple(choices),
            right=(right,),
            cue=cue_of(
                fresh,
                line,
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone=drone_for(offered) if sort == "among" else raga.drone,
                tempo=TEMPOS[gait],
                hand=hand_of(gait),
                raga=raga,
            ),
            sargam=write(line),
            possible=possible_among(choices, right, setting) if sort == "among" else None,
        )

    def explain(self, question: Question, given: str) -> Explanation:
        sort, raga = _asked(question.skill, question.setting)
        line, gait, right = parse(question.sargam), gait_of(raga), question.right[0]
        played = _played(question, raga, line, gait)
        why = say(_IS_SO[gait], raga=raga_name(raga), what=_heard(line, gait))
        given_cue, plays = None, ""
        if given != right:
            other = raga if sort == "alone" else ragas(question.setting.tradition)[given]
            fresh = Fresh(f"gait of {given}", question.seed)
            swaras = swaras_of(line) if other is raga else grow(fresh, other, most=MOST)
            given_line = raga_line(fresh, other, swaras, gait=_OTHER[gait])
            given_cue = _played(question, other, given_line, _OTHER[gait])
            plays = say(_PLAYED[_OTHER[gait]])
            if other is not raga:
                plays = say("a phrase of {raga}", raga=raga_name(other))
                why = say(_OTHER_IS_SO[_OTHER[gait]], what=why, raga=raga_name(other))
        return Explanation(
            right_label=label_of(question, right),
            given_label=label_of(question, given),
            why=say("{what}.", what=why),
            right_cue=played,
            given_cue=given_cue,
            given_plays=plays,
            drawn=drawn_in(line, played, (), tempo=_tempo(gait)),
        )

    def introduce(self, question: Question) -> str:
        _, raga = _asked(question.skill, question.setting)
        gait = gait_of(raga)
        return say(_ABOUT[gait], raga=raga_name(raga))


def _heard(line: Line, gait: str) -> str:
    """What in this phrase was so."""
    longest = max(note.matras for note in line.notes())
    if gait == "light":
        return say(
            "no swara of this phrase was held for more than {matras}", matras=_matras(longest)
        )
    held = {note.swara.letter: note for note in line.notes() if note.matras >= REST_MATRAS}
    swung = {note.swara.letter for note in line.notes() if note.tone.sway}
    swaras = listed([letter_name(letter) for letter in held])
    if not swung:
        return say("this phrase stays on {swaras}", swaras=swaras)
    return say(
        "this phrase stays on {swaras} and swings {swung}",
        swaras=swaras,
        swung=listed([*map(letter_name, sorted(swung))]),
    )


def _matras(length: Fraction) -> str:
    if length == 1:
        return say("a matra")
    return say("a matra and a half") if length == ONE_AND_A_HALF else in_figures(length)


_OTHER = {"grave": "light", "light": "grave"}
_AMONG = {
    "grave": to_say("{raga}, the grave one of several ragas"),
    "light": to_say("{raga}, the light one of several ragas"),
}
_PROMPTS = {
    "grave": to_say("Which of these ragas is grave? You hear a phrase of it."),
    "light": to_say("Which of these ragas is light? You hear a phrase of it."),
}
_IS_SO = {"grave": to_say("{raga} is grave: {what}"), "light": to_say("{raga} is light: {what}")}
_OTHER_IS_SO = {
    "grave": to_say("{what}; {raga} is grave"),
    "light": to_say("{what}; {raga} is light"),
}
_PLAYED = {
    "grave": to_say("the same phrase, played gravely"),
    "light": to_say("the same phrase, played lightly"),
}
_ABOUT = {
    "grave": to_say(
        "Some ragas are played gravely and hardly ever lightly, some the other way round. "
        "{raga} is grave: it moves slowly and stays on its swaras."
    ),
    "light": to_say(
        "Some ragas are played gravely and hardly ever lightly, some the other way round. "
        "{raga} is light: it moves on easily and is at home in short, graceful pieces."
    ),
}


def _gait(gait: str) -> str:
    return say_as("of a raga", "grave") if gait == "grave" else say_as("of a raga", "light")


def gait_of(raga: Raga) -> str:
    """Grave or light, as the teacher has it; as shipped where he says neither or both."""
    for known in (raga, ragas().get(raga.id, raga)):
        told = [gait for gait in GAITS if gait in known.gait.value]
        if len(told) == 1:
            return told[0]
    return told[0]


def is_clear(raga: Raga) -> bool:
    """Whether it is one of the two so plainly that the other would be wrong."""
    words = raga.gait.value
    return words == ("grave",) or (words[0] == "light" and "grave" not in words)


def _tempo(gait: str) -> float:
    return sum(TEMPOS[gait]) / 2


def _played(question: Question, raga: Raga, line: Line, gait: str) -> Score:
    drone = question.cue.drone
    return explained_cue(
        line,
        sa_hz=question.cue.sa_hz,
        tuning=question.setting.tuning,
        drone=None if drone is None else drone.first,
        matras_per_min=_tempo(gait),
        hand=hand_of(gait),
        raga=raga,
    )


def among(
    fresh: Fresh,
    raga: Raga,
    setting: Setting,
    *,
    wrong: int = WRONG,
    offers: Callable[[Raga], bool] = is_clear,
) -> list[Raga]:
    """The raga with so many of the opposite gait, those met first, over one tanpura."""
    known = ragas(setting.tradition)
    met, gait = ragas_in(setting.met, setting.tradition), gait_of(raga)
    rest = [one for one in known if one not in met]
    chosen = [raga]
    for one in (*fresh.shuffled(met), *fresh.shuffled(rest)):
        opposite = offers(known[one]) and gait_of(known[one]) != gait
        if len(chosen) <= wrong and opposite and shared_strings((*chosen, known[one])):
            chosen.append(known[one])
    return chosen


def _skill(sort: str, raga: Raga) -> Skill:
    return raga_skill(
        RagaGaitKind.name,
        raga,
        RagaGaitKind.called(sort, raga),
        sort=sort,
        cluster=f"gait {sort}",
        family="facts",
        chance=1 / 2 if sort == "alone" else 1 / (1 + WRONG),
        seconds=14.0 if sort == "alone" else 18.0,
    )


def _skill_id(raga: str, setting: Setting) -> str | None:
    asked = raga in _among(ragas(setting.tradition))
    return skill_id(RagaGaitKind.name, raga, "among") if asked else None


def _among(known: Mapping[str, Raga]) -> frozenset[str]:
    """Ids of those that are asked for among others. As many of each gait: were more of them grave,
    the odd one among light ones would mostly be right."""
    clear = [raga for raga in known.values() if is_clear(raga)]
    of_gait = [[raga for raga in clear if gait_of(raga) == gait] for gait in GAITS]
    count = min(map(len, of_gait))
    chosen = (some_asked(known, some, count, _among) for some in of_gait)
    return frozenset(raga.id for some in chosen for raga in some)


def _asked(skill: str, setting: Setting) -> tuple[str, Raga]:
    """The sort and the raga of a skill. Raises UnknownSkill."""
    return split(skill, "raga-gait", setting, SORTS)
