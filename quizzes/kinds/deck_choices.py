"""Questions of a deck that are answered by touching names: one, several, or a verdict with why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from quizzes.decks.deck import Asked, Offered
from quizzes.decks.posed import Posed, ids_of
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.deck_form import (
    asked_in,
    entry_of,
    given_cue,
    question_of,
    quoted,
    right_cue,
    slow_cue,
    told,
    why_of,
)
from quizzes.names import listed
from quizzes.question import KEYS_APART, Choice, Mark, Question, Setting
from words import say

READING_S, DECIDING_S = 5.0, 1.5
"""What a question takes, and what each of its choices takes besides."""
VERDICT_ALONE = 0.5
"""What a right verdict is worth for a wrong reason."""


class ChooseOne:
    """One of the choices; any right one is right."""

    answer_on = "choices"

    def offered(self, entry: Asked) -> dict[str, Offered]:
        """All that can be answered, by id."""
        return dict(zip(ids_of(one.text for one in entry.offered), entry.offered, strict=True))

    def right(self, entry: Asked, ids: list[str]) -> tuple[str, ...]:
        """The answers that are right, of choices that stand in this order."""
        offered = self.offered(entry)
        return tuple(each for each in ids if offered[each].right)

    def make(self, posed: Posed, skill: str, *, seed: int, setting: Setting) -> Question:
        entry, fresh = entry_of(posed), Fresh(skill, seed)
        offered = self.offered(entry)
        ids = self.drawn(fresh, offered)
        return question_of(
            entry,
            skill,
            fresh,
            seed=seed,
            setting=setting,
            choices=tuple(
                Choice(each, self.label(offered[each]), posed.shows.get(offered[each].text))
                for each in ids
            ),
            right=self.right(entry, ids),
            answer_on=self.answer_on,
            luck=self.chance(entry),
        )

    def drawn(self, fresh: Fresh, offered: dict[str, Offered]) -> list[str]:
        """In which order they stand."""
        return fresh.shuffled(list(offered))

    def label(self, one: Offered) -> str:
        return one.text

    def mark(self, question: Question, given: str) -> Mark:
        choice = question.choice(given)
        return Mark(1.0) if given in question.right else Mark(0.0, heard=choice.skill)

    def explain(self, question: Question, given: str) -> Explanation:
        entry = asked_in(question)
        offered, chosen = self.offered(entry), self.chosen(question, given)
        # Where several are right and one of them was given, that one is told.
        rights = chosen if given in question.right else self.chosen(question, *question.right)
        label = self.labels(question, rights, joint="or")
        wrong = [offered[each] for each in chosen if each not in rights]
        played, plays = given_cue(question, wrong)
        return Explanation(
            right_label=label,
            given_label=self.labels(question, chosen),
            why=why_of(entry, self._more(entry, chosen, wrong)),
            right_cue=right_cue(
                question, next((offered[one].sargam for one in rights if offered[one].sargam), "")
            ),
            given_cue=played,
            given_plays=plays if len(chosen) > 1 else "",
            slow_cue=slow_cue(question),
            counted=self.counted(rights, chosen),
        )

    def counted(self, rights: Sequence[str], chosen: Sequence[str]) -> str:
        """How much of an answer in part is right."""
        return ""

    def _more(self, entry: Asked, chosen: Iterable[str], wrong: list[Offered]) -> list[str]:
        offered = self.offered(entry)
        return [offered[each].why for each in chosen if offered[each] not in wrong] + [
            one.why for one in wrong
        ]

    def chosen(self, question: Question, *given: str) -> tuple[str, ...]:
        """The choices in these answers."""
        return tuple(question.choice(each).id for each in given)

    def labels(self, question: Question, ids: Iterable[str], joint: str = "and") -> str:
        labels = [question.choice(each).label for each in ids]
        return listed([quoted(each) for each in labels], joint) if labels[1:] else labels[0]

    def introduce(self, question: Question) -> str:
        rights = self.chosen(question, *question.right)
        return told(asked_in(question), self.labels(question, rights, joint="or"))

    def chance(self, entry: Asked) -> float:
        offered = self.offered(entry)
        return len(self.right(entry, list(offered))) / len(offered)

    def seconds(self, entry: Asked) -> float:
        return READING_S + DECIDING_S * len(self.offered(entry))


class ChooseSeveral(ChooseOne):
    """Every right choice and no other, sent together.

    A part of them earns the share of the right ones that were chosen less the share of the wrong
    ones that were (Youden 1950, doi 10.1002/1097-0142(1950)3:1<32::aid-cncr2820030106>3.0.co;2-3):
    whoever chooses all, or by lot, earns nothing in the mean.
    """

    answer_on = "several"

    def right(self, entry: Asked, ids: list[str]) -> tuple[str, ...]:
        return (KEYS_APART.join(super().right(entry, ids)),)

    def mark(self, question: Question, given: str) -> Mark:
        chosen, rights = question.chosen(given), question.chosen(question.right[0])
        if chosen == rights:
            return Mark(1.0)
        hit = len(set(chosen) & set(rights)) / len(rights)
        wrong = len(question.choices) - len(rights)  # a deck in which all are right is not read
        return Mark(max(0.0, hit - len(set(chosen) - set(rights)) / wrong))

    def chosen(self, question: Question, *given: str) -> tuple[str, ...]:
        return tuple(each for one in given for each in question.chosen(one))

    def labels(self, question: Question, ids: Iterable[str], joint: str = "and") -> str:
        return super().labels(question, ids)

    def counted(self, rights: Sequence[str], chosen: Sequence[str]) -> str:
        hit, wrong = len(set(rights) & set(chosen)), len(set(chosen) - set(rights))
        found = say("{hit} of {whole} found", hit=hit, whole=len(rights))
        return say("{share}, {added} too many", share=found, added=wrong) if wrong else found

    def chance(self, entry: Asked) -> float:
        return 1 / ((1 << len(entry.offered)) - 1)

    def seconds(self, entry: Asked) -> float:
        return READING_S + 2 * DECIDING_S * len(entry.offered)


class TrueOrFalse(ChooseOne):
    """A verdict, and the reason for it; a right verdict with a wrong reason is half right."""

    def offered(self, entry: Asked) -> dict[str, Offered]:
        found: dict[str, Offered] = {}
        for verdict in (True, False):
            reasons = [one for one in entry.offered if one.holds in (verdict, None)]
            name = _id_of(verdict)
            for each, one in zip(ids_of(one.text for one in reasons), reasons, strict=True):
                is_right = one.right and verdict == entry.holds
                found[f"{name}-{each}"] = Offered(
                    one.text, is_right, one.why, one.sargam, holds=verdict
                )
            if not reasons:
                found[name] = Offered("", verdict == entry.holds, holds=verdict)
        return found

    def drawn(self, fresh: Fresh, offered: dict[str, Offered]) -> list[str]:
        """One verdict with its reasons after the other."""
        return [
            each
            for verdict in fresh.shuffled([True, False])
            for each in fresh.shuffled([one for one in offered if offered[one].holds == verdict])
        ]

    def label(self, one: Offered) -> str:
        verdict = _verdict(bool(one.holds))
        return say("{verdict}: {why}", verdict=verdict, why=one.text) if one.text else verdict

    def counted(self, rights: Sequence[str], chosen: Sequence[str]) -> str:
        verdicts = {each.partition("-")[0] for each in (*rights, *chosen)}
        is_half = len(verdicts) == 1 and not set(chosen) <= set(rights)
        return say("the verdict, but not the reason") if is_half else ""

    def mark(self, question: Question, given: str) -> Mark:
        question.choice(given)
        if given in question.right:
            return Mark(1.0)
        entry = asked_in(question)
        return Mark(VERDICT_ALONE if self.offered(entry)[given].holds == entry.holds else 0.0)

    def chance(self, entry: Asked) -> float:
        """Of who picks one of all, or a verdict first: who is right the oftener counts."""
        mine = [one.right for one in self.offered(entry).values() if one.holds == entry.holds]
        return max(super().chance(entry), sum(mine) / len(mine) / 2)


def _verdict(holds: bool) -> str:
    return say("True") if holds else say("False")


def _id_of(holds: bool) -> str:
    """How the ids of what goes with a verdict begin."""
    return "true" if holds else "false"
