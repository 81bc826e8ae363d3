"""`ornament`: what the left hand does on one stroke of a short phrase.

Schools use the words differently, so a choice says what the hand does, without the word: the acts
differ where the words run together. The word comes with the introduction and the explanation.
"""

from __future__ import annotations

from collections.abc import Sequence

from audio.line import Beat, Line, Tone
from audio.ornaments import MEEND_DOWN, MEEND_UP, Hand
from audio.playing import score_of
from audio.sargam import write
from audio.score import Drone, Score
from audio.tuning import load_tuning
from quizzes.choice_sets import fair_sets
from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.ornament_words import (
    ACTS,
    choice_of,
    id_of,
    introduced,
    name_of,
    prompt_of,
    told,
    why_of,
)
from quizzes.left_hand import (
    PARTS,
    SCALES,
    Place,
    beat_of,
    end_of,
    fresh_hand,
    joined,
    mirrored,
    place_at,
    slow_hand,
)
from quizzes.names import counted
from quizzes.phrases import Phrase, fresh_phrase, ladder_of
from quizzes.question import Mark, Question, Setting, Skill
from words import in_script, to_say

NAMES = tuple(ACTS)
MEETING_ORDER = (
    "meend", "kan", "andolan", "gamak", "krintan", "sparsh", "ghaseet", "murki", "zamzama",
)  # fmt: skip
"""Our own order: each soon after what it is easily taken for."""

NEAR = tuple(
    frozenset(pair.split("|"))
    for pair in (
        "kan|sparsh", "gamak|andolan", "krintan|zamzama", "meend|ghaseet", "murki|zamzama",
        "kan|murki", "kan|krintan", "sparsh|krintan",
    )
)  # fmt: skip
"""Ornaments that are easily taken for one another."""

SPANS = (1, 2, 3, 4, 5)
SIDES = ("above", "below")

UNMOVED = "SP"
"""Sa and Pa never swing (common practice), so no ornament is asked on them where it could be an
andolan: the swara would tell."""

PLAIN_STROKES = {"": 3, "span": 2, "side": 2}

MET_FOR_FOUR = 3
"""Once so many others are met, four are offered; two before that."""


class OrnamentKind:
    name = "ornament"
    title = to_say("One stroke is ornamented: what did the left hand do?")

    def skills(self) -> tuple[Skill, ...]:
        whole = [_skill(name) for name in MEETING_ORDER]
        sides = [_skill(f"side:{name}") for name in ("kan", "meend")]
        return (*whole, *sides, *(_skill(f"span:{span}") for span in SPANS))

    def name_of(self, skill: str) -> str:
        return name_of(*asked(skill))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        what, detail = asked(skill)
        fresh, phrase, place, hand, right = _drawn(skill, seed, setting)
        beat = beat_of(_ornament_of(skill), place)
        offered = _offered(what, detail, fresh, setting)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=prompt_of(what, detail),
            choices=tuple(choice_of(what, answer) for answer in offered),
            right=(right,),
            cue=phrase.cue(beat, load_tuning(setting.tuning), hand),
            sargam=phrase.written(beat),
            possible=tuple(
                answer
                for answer in offered
                if answer == right or what == "side" or id_of(what, answer) in setting.met
            ),
        )

    def mark(self, question: Question, given: str) -> Mark:
        choice = question.choice(given)
        return Mark(1.0) if given in question.right else Mark(0.0, heard=choice.skill)

    def explain(self, question: Question, given: str) -> Explanation:
        what, detail = asked(question.skill)
        place = _drawn(question.skill, question.seed, question.setting)[2]
        right = question.right[0]
        return Explanation(
            right_label=told(what, right),
            given_label=told(what, given),
            why=why_of(what, detail, place, right, given),
            right_cue=_played(question, right),
            given_cue=None if given == right else _played(question, given),
            right_written=in_script(_written(question, right)),
            given_written="" if given == right else in_script(_written(question, given)),
        )

    def level(self, skill: str) -> None:
        return None

    def several(self, count: int) -> str:
        return counted(count, "{number} ornament", "{number} ornaments")

    def introduce(self, question: Question) -> str:
        what, detail = asked(question.skill)
        place = _drawn(question.skill, question.seed, question.setting)[2]
        return introduced(what, detail, question.right[0], place)


def asked(skill: str) -> tuple[str, str]:
    """What is asked ("", "span" or "side") and of what, from a skill's id. Raises UnknownSkill."""
    kind, _, rest = skill.partition(":")
    what, colon, detail = rest.partition(":")
    if kind == "ornament":
        if not colon and what in NAMES:
            return "", what
        if what == "span" and detail in map(str, SPANS):
            return what, detail
        if what == "side" and detail in ("kan", "meend"):
            return what, detail
    raise UnknownSkill(
        f"{skill!r} is not asked; write ornament: and one of {' '.join(NAMES)}, "
        "ornament:span:1 to ornament:span:5, ornament:side:kan or ornament:side:meend"
    )


def _ornament_of(skill: str) -> str:
    what, detail = asked(skill)
    return "meend" if what == "span" else detail


def _drawn(skill: str, seed: int, setting: Setting) -> tuple[Fresh, Phrase, Place, Hand, str]:
    """Everything that is drawn for a question, and its right answer."""
    what, detail = asked(skill)
    fresh = Fresh(skill, seed)
    right = fresh.one_of(SIDES) if what == "side" else detail
    side = right if what == "side" else fresh.one_of(SIDES)
    spans = (int(detail),) if what == "span" else SPANS if what == "side" else (3, 4, 5)
    ladder = ladder_of(fresh.one_of(SCALES))
    place = place_at(fresh, ladder, side, spans, but="" if what else UNMOVED)
    phrase = fresh_phrase(fresh, setting.sa_hz, ladder, place.target, count=PLAIN_STROKES[what])
    return fresh, phrase, place, fresh_hand(fresh, place, load_tuning(setting.tuning)), right


def _offered(what: str, right: str, fresh: Fresh, setting: Setting) -> list[str]:
    """The answers offered: what has been met, what is confused with the right one first."""
    if what == "side":
        return list(SIDES)
    met, rivals = (_answers(what, skills, right) for skills in (setting.met, setting.rivals))
    if what == "span":
        far = [str(span) for span in SPANS if abs(span - int(right)) > 1]
        return sorted({right, *(met or [fresh.one_of(far)])})
    if not met:
        met.append(next(name for name in NAMES if frozenset((name, right)) in NEAR))
    sets = fair_sets(tuple(sorted({right, *met})), 4 if len(met) >= MET_FOR_FOUR else 2, NEAR)
    usable = [chosen for chosen in sets if right in chosen]
    confused = [chosen for chosen in usable if set(rivals[:1]) <= set(chosen)]
    usable = confused or usable
    (chosen,) = fresh.weighted(usable, [sets[one] for one in usable], 1)
    return fresh.shuffled(chosen)


def _answers(what: str, skills: Sequence[str], right: str) -> list[str]:
    """The answers, other than the right one, that those skills would show."""
    found = (asked(skill) for skill in skills if skill.startswith("ornament:"))
    return [detail for kind, detail in found if kind == what and detail != right]


def _played(question: Question, answer: str) -> Score:
    """What was asked, or the same phrase with another answer, slowly."""
    what, _ = asked(question.skill)
    tuning = load_tuning(question.setting.tuning)
    _, phrase, place, hand, _ = _drawn(question.skill, question.seed, question.setting)
    phrase = phrase.explained()
    if what == "span":
        return score_of(
            _beside_plain(place, int(answer)),
            tuning,
            sa_hz=phrase.sa_hz,
            matras_per_min=phrase.matras_per_min,
            drone=Drone(),
            hand=hand,
        )
    return phrase.cue(_beat(question, answer), tuning, slow_hand(hand))


def _written(question: Question, answer: str) -> str:
    """The same in writing."""
    _, phrase, place, _, _ = _drawn(question.skill, question.seed, question.setting)
    if asked(question.skill)[0] == "span":
        return write(_beside_plain(place, int(answer)))
    return phrase.written(_beat(question, answer))


def _beat(question: Question, answer: str) -> Beat:
    """The stroke of a phrase that bears the answer."""
    what, _ = asked(question.skill)
    _, _, place, _, right = _drawn(question.skill, question.seed, question.setting)
    if what == "side":
        place = place if answer == right else mirrored(place)
        answer = _ornament_of(question.skill)
    return beat_of(answer, place)


def _beside_plain(place: Place, span: int) -> Line:
    """A meend of so many semitones from the same start, and then its two swaras struck plainly."""
    end = end_of(place, span)
    join = MEEND_UP if end.steps > place.start.steps else MEEND_DOWN
    meend = joined(place.start, join, end, PARTS // 2)
    return Line((meend, Beat((Tone(place.start),)), Beat((Tone(end),))))


def _skill(detail: str) -> Skill:
    what, colon, _ = detail.partition(":")
    skill = f"ornament:{detail}"
    return Skill(
        id=skill,
        kind="ornament",
        name=name_of(*asked(skill)),
        family="perception",
        cluster=f"ornament {what if colon else _FAMILIES[detail]}",
        chance={"span": 0.2, "side": 0.5}[what] if colon else 0.25,
        seconds=14.0,
    )


_FAMILIES = {
    **dict.fromkeys(("kan", "sparsh", "krintan", "zamzama", "murki"), "fingers"),
    **dict.fromkeys(("meend", "ghaseet"), "slides"),
    **dict.fromkeys(("gamak", "andolan"), "swings"),
}
