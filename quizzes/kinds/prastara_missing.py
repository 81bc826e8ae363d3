"""`prastara:missing:3`: all orders of three swaras in their succession but one: which is left
out?"""

from __future__ import annotations

from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.prastara_way import OFFERED, Order, PrastaraWay, all_orders, swaras_in
from quizzes.names import capital, in_letters, number_word, swaras_counted
from quizzes.paltas.prastara import count, order_at, orders
from quizzes.question import Question
from words import say


class Missing(PrastaraWay):
    way = "missing"
    sizes = (3,)
    seconds = 28.0

    def named(self, size: int) -> str:
        return say("which order is left out, of {swaras}", swaras=swaras_counted(size))

    def prompt(self, size: int) -> str:
        return say(
            "{swaras} in their orders, one after the other. Of the {number}, which is left out?",
            swaras=capital(swaras_counted(size)),
            number=number_word(count(size)),
        )

    def offered(self, fresh: Fresh, size: int) -> list[int]:
        return fresh.shuffled(range(count(size)))[:OFFERED]

    def heard(self, swaras: Order, at: int) -> list[Order]:
        return [order for place, order in enumerate(orders(swaras)) if place != at]

    def explain(self, question: Question, given: str) -> Explanation:
        swaras, at = swaras_in(question), self.place_of(question, question.right[0])
        size = len(swaras)
        return self.told(
            question,
            given,
            why=_where(swaras, at),
            orders=list(orders(swaras)),
            deciding=range(size * at, size * (at + 1)),
            given_orders=[order_at(swaras, self.place_of(question, given))],
            given_plays=say("the order that you chose, which was there"),
        )

    def introduce(self, question: Question) -> str:
        return say(
            "All orders in their succession: {orders}. A question leaves one of them out.",
            orders=all_orders(swaras_in(question)),
        )


def _where(swaras: Order, at: int) -> str:
    missing, last = in_letters(order_at(swaras, at)), count(len(swaras)) - 1
    if at == 0:
        return say(
            "The succession begins with {order}, low to high, which was not heard.", order=missing
        )
    before = in_letters(order_at(swaras, at - 1))
    if at == last:
        return say(
            "{before} is followed by {order}, high to low, with which the succession ends.",
            before=before,
            order=missing,
        )
    after = in_letters(order_at(swaras, at + 1))
    return say(
        "Between {before} and {after} comes {order}.", before=before, after=after, order=missing
    )
