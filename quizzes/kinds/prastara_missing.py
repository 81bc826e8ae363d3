"""`prastara:missing:3`: all orders of three swaras in their succession but one: which is left
out?"""

from __future__ import annotations

from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.prastara_way import OFFERED, Order, PrastaraWay, all_orders, swaras_in
from quizzes.names import capital, counted, in_letters, number_word
from quizzes.paltas.prastara import count, order_at, orders
from quizzes.question import Question


class Missing(PrastaraWay):
    way = "missing"
    sizes = (3,)
    seconds = 28.0

    def name_of(self, size: int) -> str:
        return f"which order is left out, of {counted(size, 'swara')}"

    def prompt(self, size: int) -> str:
        return (
            f"{capital(number_word(size))} swaras in their orders, one after the other. "
            f"Of the {number_word(count(size))}, which is left out?"
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
            given_plays="the order that you chose, which was there",
        )

    def introduce(self, question: Question) -> str:
        every = all_orders(swaras_in(question))
        return f"All orders in their succession: {every}. A question leaves one of them out."


def _where(swaras: Order, at: int) -> str:
    missing, last = in_letters(order_at(swaras, at)), count(len(swaras)) - 1
    if at == 0:
        return f"The succession begins with {missing}, low to high, which was not heard."
    before = in_letters(order_at(swaras, at - 1))
    if at == last:
        return f"{before} is followed by {missing}, high to low, with which the succession ends."
    return f"Between {before} and {in_letters(order_at(swaras, at + 1))} comes {missing}."
