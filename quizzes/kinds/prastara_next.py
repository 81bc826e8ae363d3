"""`prastara:next:3`: an order of three swaras is heard: which follows it in the succession?

Of four swaras that one is seldom right which ends most like the order heard: the first two change
places in every other row, and who knows no more than that is not to be right oftener than else. Of
three there are too few orders for that, and what stays at the end is half of the rule.
"""

from __future__ import annotations

from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.prastara_way import OFFERED, Order, PrastaraWay, all_orders, swaras_in
from quizzes.names import capital, in_letters, swaras_counted
from quizzes.paltas.prastara import count, following, order_at
from quizzes.question import Question
from words import say, to_say

RULE = to_say(
    "From the left, the first swara with a lower one before it gives its place to the next lower "
    "of these; what stands after it stays, and what stands before goes low to high."
)
"""As the treatise has it (`quizzes.paltas.prastara` names it)."""


CHANGES_IN = 4
"""In one question of so many the first two swaras change places, and all else stays."""


class Next(PrastaraWay):
    way = "next"
    sizes = (3, 4)
    seconds = 20.0

    def named(self, size: int) -> str:
        return say("which order follows, of {swaras}", swaras=swaras_counted(size))

    def prompt(self, size: int) -> str:
        return say(
            "{swaras} in their first order, low to high; then one of their orders. Which follows "
            "that in the succession?",
            swaras=capital(swaras_counted(size)),
        )

    def offered(self, fresh: Fresh, size: int) -> list[int]:
        """Any but the first, which follows nothing; of more than three swaras four of those rows
        in which the first two change places, or four in a row of the others."""
        if size == min(self.sizes):
            return fresh.shuffled(range(1, count(size)))[:OFFERED]
        if fresh.one_of(range(CHANGES_IN)) == 0:
            return fresh.shuffled(range(1, count(size), 2))[:OFFERED]
        others = range(2, count(size), 2)
        first = fresh.one_of(range(len(others) - OFFERED + 1))
        return fresh.shuffled(others[first : first + OFFERED])

    def heard(self, swaras: Order, at: int) -> list[Order]:
        return [swaras, order_at(swaras, at - 1)]

    def explain(self, question: Question, given: str) -> Explanation:
        swaras, at = swaras_in(question), self.place_of(question, question.right[0])
        before = order_at(swaras, at - 1)
        right = following(swaras, before)
        assert right is not None  # the last order is never heard
        return self.told(
            question,
            given,
            why=say(
                "{moved} So {before} is followed by {order}.",
                moved=_moved(before, right),
                before=in_letters(before),
                order=in_letters(right),
            ),
            orders=[before, right],
            deciding=range(len(swaras), 2 * len(swaras)),
            given_orders=[before, order_at(swaras, self.place_of(question, given))],
            given_plays=say("the order that you chose after the one that was heard"),
        )

    def introduce(self, question: Question) -> str:
        follow = say(
            "The orders follow each other so: {orders}.", orders=all_orders(swaras_in(question))
        )
        return f"{follow} {say(RULE)}"


def _moved(before: Order, right: Order) -> str:
    """What gave its place to what."""
    at = max(place for place, swara in enumerate(before) if swara != right[place])
    after = before[at + 1 :]
    text = (_ALONE, _AND_ONE, _AND_SOME)[min(len(after), 2)]
    stays = {"after": in_letters(after)} if after else {}
    return say(text, swara=in_letters([before[at]]), lower=in_letters([right[at]]), **stays)


_ALONE = to_say(
    "From the left, {swara} is the first swara with a lower one before it: it gives its place to "
    "{lower}, the next lower."
)
_AND_ONE = to_say(
    "From the left, {swara} is the first swara with a lower one before it: it gives its place to "
    "{lower}, the next lower, and {after} stays."
)
_AND_SOME = to_say(
    "From the left, {swara} is the first swara with a lower one before it: it gives its place to "
    "{lower}, the next lower, and {after} stay."
)
"""Where no swara stands after it, one, or several."""
