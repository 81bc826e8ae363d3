"""`raga-bridge`: a phrase of one raga, then of another: which raga has all swaras of both?

The two differ in the form of a swara, surely and in little else; the raga asked for, here called
their bridge, holds all swaras of both, and each other raga offered lacks one of those in which they
differ in every teaching known. That it leads from the one to the other is said only where that is
taught.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from audio.line import BAR, Line
from audio.sargam import parse, write
from audio.tuning import SWARAS
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import counted, listed
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.ragas.asking import (
    RagaKind,
    drone_for,
    explanation_of,
    possible_among,
    raga_skill,
    ragas_in,
    skill_id,
    split,
)
from quizzes.ragas.bridging import Gap, bridged, bridges, doubled, gap_between
from quizzes.ragas.choosing import near_pairs
from quizzes.ragas.growing import grow
from quizzes.ragas.movement import Swaras
from quizzes.ragas.raga import Raga
from quizzes.ragas.resting import name_beside
from quizzes.ragas.said import and_about, raga_name
from quizzes.ragas.sounding import cue_of, plain_line
from quizzes.ragas.tradition import ragas
from quizzes.ragas.ways import BREATH
from words import say, to_say

OFFERED = 4
FEWEST, MOST = 4, 6
MET = 6.0
"""How many times likelier a bridge that has been met is offered."""
MOST_MATRAS = 20
"""So much of a bridge is heard after the answer."""
PARMEL_PRAVESHAK = {"jaijaiwanti": ("G", "g")}
"""Ragas that the books call so, and between which forms: Jaijaiwanti leads from the ragas of
shuddha Ga to those of komal Ga (common practice)."""


class RagaBridgeKind(RagaKind):
    name = "raga-bridge"
    title = to_say("Phrases of two ragas: which raga has all swaras of both?")

    @staticmethod
    def called(sort: str, raga: Raga) -> str:
        return say("Two ragas whose swaras {raga} holds", raga=raga_name(raga))

    def several(self, count: int) -> str:
        return counted(
            count,
            "{number} raga with the swaras of two others",
            "{number} ragas with the swaras of two others",
        )

    def skills_taught(self, tradition: str) -> tuple[Skill, ...]:
        known = ragas(tradition)
        return tuple(_skill(known[one]) for one in bridges(tradition))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        bridge = _asked(skill, setting)
        fresh = Fresh(skill, seed)
        known = ragas(setting.tradition)
        gap = fresh.one_of(bridged(bridge, setting.tradition) or bridged(bridge))
        gap = gap.turned() if fresh.between(0, 1) < 0.5 else gap
        ids = [bridge.id, *_wrong(fresh, bridge, gap, setting)]
        choices = [
            Choice(one, raga_name(known[one]), _skill_id(one, setting))
            for one in fresh.shuffled(ids)
        ]
        line = _joined(
            [
                _phrase(fresh, gap.first, gap.of_first),
                _phrase(fresh, gap.second, gap.of_second),
            ]
        )
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(
                "{first}, then {second}: which raga has all swaras of both?",
                first=raga_name(gap.first),
                second=raga_name(gap.second),
            ),
            choices=tuple(choices),
            right=(bridge.id,),
            cue=cue_of(
                fresh,
                line,
                sa_hz=setting.sa_hz,
                tuning=setting.tuning,
                drone=drone_for((gap.first, gap.second)),
            ),
            sargam=write(line),
            detail={"from": gap.first.id, "to": gap.second.id},
            possible=possible_among(choices, bridge.id, setting),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        known = ragas(question.setting.tradition)
        bridge, answered = known[question.right[0]], known[given]
        gap = gap_between(known[question.detail["from"]], known[question.detail["to"]])
        fresh = Fresh(f"a phrase of {given}", question.seed)
        line = _led_over(fresh, parse(question.sargam), bridge, gap)
        return explanation_of(
            question,
            given,
            why=_why(bridge, answered, gap),
            line=line,
            deciding=[
                place for place, note in enumerate(line.notes()) if note.swara.letter in gap.letters
            ],
            given_line=plain_line(_phrase(fresh, answered, gap.letters & answered.own)),
            given_plays=say("a phrase of {raga}", raga=raga_name(answered)),
        )

    def introduce(self, question: Question) -> str:
        bridge = _asked(question.skill, question.setting)
        said = say(
            "Two ragas may differ in little but the form of a swara, and a third may have both "
            "forms, as {raga} has.",
            raga=raga_name(bridge),
        )
        return and_about(said, bridge)


def _joined(phrases: Sequence[Swaras]) -> Line:
    first, *others = map(plain_line, phrases)
    items = [*first.items]
    for line in others:
        items += [BREATH, BAR, *line.items]
    return Line(tuple(items))


def _led_over(fresh: Fresh, line: Line, bridge: Raga, gap: Gap) -> Line:
    """The two phrases with one of their bridge between them, where that is not too long to hear."""
    between = plain_line(_phrase(fresh, bridge, gap.letters))
    middle = line.items.index(BAR)
    led = Line((*line.items[:middle], BAR, *between.items, BREATH, *line.items[middle:]))
    return led if led.matras <= MOST_MATRAS else line


def _phrase(fresh: Fresh, raga: Raga, letters: frozenset[str]) -> Swaras:
    """A phrase in which these letters are heard, or as much of them as one phrase can hold."""
    for touching in (letters, *map(frozenset, sorted(letters))):
        try:
            return grow(fresh, raga, fewest=FEWEST, most=MOST, touching=touching)
        except ValueError:  # no phrase of it holds them all
            continue
    return grow(fresh, raga, fewest=FEWEST, most=MOST)


def _why(bridge: Raga, answered: Raga, gap: Gap) -> str:
    has, name = _has_all(bridge, gap), raga_name(bridge)
    uses = [_use(bridge, letter) for letter in _two_formed(bridge, gap)]
    if uses:
        has = say("{has}: {uses}", has=has, uses=", ".join(uses))
    lacking = gap.letters - answered.ever
    if answered is not bridge and lacking:
        return say(
            "{has}; {raga} has no {swaras}.",
            has=has,
            raga=raga_name(answered),
            swaras=_named(lacking, gap.letters, "or"),
        )
    if _leads(bridge, gap):
        return say(
            "{has}. {raga} is called a parmel-praveshak: it leads from ragas of the one form to "
            "ragas of the other.",
            has=has,
            raga=name,
        )
    return say("{what}.", what=has)


def _has_all(bridge: Raga, gap: Gap) -> str:
    """What the two have, and that the bridge has all of it."""
    names = {
        "first": raga_name(gap.first),
        "of_first": _named(gap.of_first, gap.letters),
        "second": raga_name(gap.second),
        "of_second": _named(gap.of_second, gap.letters),
        "bridge": raga_name(bridge),
    }
    if len(gap.letters) == 2:
        return say("{first} has {of_first}, {second} {of_second}; {bridge} has both", **names)
    return say("{first} has {of_first}, {second} {of_second}; {bridge} has all of these", **names)


def _leads(bridge: Raga, gap: Gap) -> bool:
    """Whether it is taught to lead from the one to the other."""
    of_first, of_second = PARMEL_PRAVESHAK.get(bridge.id, ("", ""))
    return of_first in gap.of_first and of_second in gap.of_second


def _two_formed(bridge: Raga, gap: Gap) -> list[str]:
    """Letters in which the two differ and of which the bridge has both forms, where its ways are
    known for sure."""
    both = [one for one in SWARAS if {one, one.swapcase()} <= gap.letters]
    return both if bridge.scale.sure else []


def _use(bridge: Raga, letter: str) -> str:
    """On which way it takes this form: `komal Ga on the way down`."""
    scale = bridge.scale.value
    where = {
        (True, True): to_say("{swara} on the way up and down"),
        (True, False): to_say("{swara} on the way up"),
        (False, True): to_say("{swara} on the way down"),
        (False, False): to_say("{swara} in turns of its own"),
    }
    return say(where[letter in scale.up, letter in scale.down], swara=name_beside(letter, SWARAS))


def _named(letters: Collection[str], beside: Collection[str], joint: str = "and") -> str:
    """`shuddha Ga` where komal Ga stands beside it, else `Ga`."""
    ordered = sorted(letters, key=SWARAS.index)
    return listed([name_beside(one, set(beside) - {one}) for one in ordered], joint)


def _wrong(fresh: Fresh, bridge: Raga, gap: Gap, setting: Setting) -> list[str]:
    """Other ragas, which surely lack one of the swaras in which the two differ.

    First another bridge, such that this one might stand wrongly beside it as well; then a raga near
    to each of them, or two that are near to neither, lest the right one be known as the odd one.
    """
    known, met = (
        ragas(setting.tradition),
        ragas_in((*setting.met, *setting.rivals), setting.tradition),
    )
    asked = bridges(setting.tradition)
    able = [
        raga
        for raga in known.values()
        if not gap.letters <= raga.ever and raga not in (gap.first, gap.second)
    ]
    rivals = [raga for raga in able if raga.id in asked and not doubled(raga) < doubled(bridge)]
    chosen = fresh.weighted(rivals, [MET if raga.id in met else 1.0 for raga in rivals], 1)
    others = fresh.shuffled([raga for raga in able if raga.id not in asked])
    near = near_pairs(known)
    beside = [
        [raga for raga in others if frozenset((one.id, raga.id)) in near]
        for one in (bridge, *chosen)
    ]
    for kin in beside if all(beside) else ():
        chosen += [raga for raga in kin if raga not in chosen][:1]
    chosen += [
        raga for raga in others if raga not in chosen and raga not in (*beside[0], *beside[-1])
    ]
    chosen = chosen[: OFFERED - 1]
    return [raga.id for raga in chosen]


def _skill_id(raga: str, setting: Setting) -> str | None:
    """The skill of this raga's own bridges, where it makes some."""
    return skill_id(RagaBridgeKind.name, raga) if raga in bridges(setting.tradition) else None


def _skill(raga: Raga) -> Skill:
    return raga_skill(
        RagaBridgeKind.name,
        raga,
        RagaBridgeKind.called("", raga),
        cluster="bridges {}",
        family="facts",
        chance=0.5,
        seconds=26.0,
    )


def _asked(skill: str, setting: Setting) -> Raga:
    """The raga of a skill. Raises UnknownSkill."""
    return split(skill, "raga-bridge", setting)[1]
