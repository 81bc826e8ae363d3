"""`theka:clap:jhaptal`: how a tala is counted on the hand; which signs, over which vibhags.

What any known variant of the tala has is not offered but as the right one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.theka_hands import (
    REAL,
    form_of,
    id_of,
    is_asked,
    label,
    offered,
    owners_of,
    skill_id,
    tala_with,
)
from quizzes.kinds.theka_way import ThekaWay, cycle_again, cycles_told, turning_wheel
from quizzes.names import listed
from quizzes.question import Choice, Mark, Question, Setting, Skill
from quizzes.talas.hearing import drawn_theka, explained_tempo, kept, plain_cue, plucked
from quizzes.talas.tala import Form, Tala
from quizzes.talas.wording import form_told
from words import say, say_many, to_say

SECONDS = 22.0


class Clapping(ThekaWay):
    way, family = "clap", "facts"
    asks = to_say("{tala}: its tali and khali")

    def skill_of(self, tala: Tala) -> Skill | None:
        if not is_asked(tala):
            return None
        return self.skill(tala, chance=1 / REAL, seconds=SECONDS)

    def make_of(self, tala: Tala, skill: str, *, seed: int, setting: Setting) -> Question:
        fresh = Fresh(skill, seed)
        theka = drawn_theka(fresh, self.usable(tala), met=skill in setting.met)
        cue = self.heard(fresh, setting, tala, theka, lands=True)
        offer = offered(Fresh(f"{skill} choices", seed), tala, setting)
        hands = fresh.shuffled([*offer.real, *offer.made_up])
        return Question(
            kind="theka",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say(
                "How is {tala} counted on the hand? You hear {cycles} of it, from sam.",
                tala=tala.called,
                cycles=cycles_told(tala),
            ),
            choices=tuple(_choice(hand, setting.tradition) for hand in hands),
            right=(id_of(tala.form),),
            cue=cue.score,
            sargam=cue.written,
            detail=kept(cue),
            possible=tuple(hand for hand in hands if hand in offer.real),
            luck=offer.luck,
        )

    def mark(self, question: Question, given: str) -> Mark:
        choice = question.choice(given)
        if given in question.right:
            return Mark(1.0)
        return Mark(0.0, heard=choice.skill)

    def explain(self, question: Question, given: str) -> Explanation:
        tala, is_right = self.tala_of(question), given in question.right
        cue, form = cycle_again(question, tala), form_of(given)
        other = tala_with(form, tala, question.setting.tradition)
        tempo = explained_tempo(cue.matras_per_min, other.matras)
        other_cue = cue if other == tala else plain_cue(question, other, other.thekas[0], tempo)
        return Explanation(
            right_label=label(tala.form),
            given_label=question.choice(given).label,
            why="\n".join(_why(tala, form, owners_of(question.setting.tradition))),
            right_cue=plucked(cue, _claps(tala.form)),
            given_cue=None if is_right else plucked(other_cue, _claps(form)),
            given_plays=(
                ""
                if is_right
                else say(
                    "the theka of {tala} with a string on the claps of your answer",
                    tala=other.called,
                )
            ),
            wheel=turning_wheel(cue),
        )

    def introduce(self, question: Question) -> str:
        tala = self.tala_of(question)
        return say(
            "X is the clap on sam, 2, 3 and on are later claps, 0 is a wave; after them stand the "
            "matras of each vibhag. {tala}: {form}. A string is plucked on each clap.",
            tala=tala.called,
            form=form_told(tala.form),
        )


def _choice(hand: str, tradition: str) -> Choice:
    """With the skill that it would have shown: that of the first tala of which it is."""
    owners = owners_of(tradition).get(hand)
    return Choice(hand, label(form_of(hand)), skill_id(owners[0]) if owners else None)


def _why(tala: Tala, given: Form, owners: Mapping[str, Sequence[Tala]]) -> Iterator[str]:
    yield say("{tala}: {form}.", tala=tala.called, form=form_told(tala.form))
    for form in tala.forms[1:]:
        if form.matras == tala.matras:
            yield say("Others have it as {hand}.", hand=label(form))
    if given == tala.form:
        return
    told = label(given)
    if given.matras != tala.matras:
        told = say("{hand}, {matras} matras,", hand=told, matras=given.matras)
    others = [other.called for other in owners.get(id_of(given), ())]
    if others:
        yield say_many(
            "{hand} is how {talas} is counted.",
            "{hand} is how {talas} are counted.",
            len(others),
            hand=told,
            talas=listed(others),
        )
    else:
        yield say("{hand} is made up: no tala known here is counted so.", hand=told)


def _claps(form: Form) -> list[int]:
    """How many matras after sam they fall."""
    return [matra - 1 for matra in form.tali]
