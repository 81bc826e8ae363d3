"""`prastara:number:4`: an order of four swaras is heard: at which place of the succession is it?

The numbers offered are two of a block, in which the last swara is the same, and two that stand
alike in another: neither the last swara nor the others alone tell the place.
"""

from __future__ import annotations

from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.prastara_way import Order, PrastaraWay, all_orders, swaras_in
from quizzes.names import capital, in_letters, number_word, ordinal, swaras_counted
from quizzes.paltas.prastara import count, order_at
from quizzes.question import Choice, Question
from words import say, to_say


class Number(PrastaraWay):
    way = "number"
    sizes = (3, 4)
    seconds = 24.0

    def named(self, size: int) -> str:
        return say(
            "the place of an order in the succession, of {swaras}", swaras=swaras_counted(size)
        )

    def prompt(self, size: int) -> str:
        return say(
            "{swaras} in their first order, low to high; then one of their {orders} orders. What "
            "is its number in the succession?",
            swaras=capital(swaras_counted(size)),
            orders=count(size),
        )

    def offered(self, fresh: Fresh, size: int) -> list[int]:
        block = count(size - 1)
        blocks = fresh.shuffled(range(size))[:2]
        within = fresh.shuffled(range(block))[:2]
        return sorted(block * one + place for one in blocks for place in within)

    def heard(self, swaras: Order, at: int) -> list[Order]:
        return [swaras, order_at(swaras, at)]

    def choice(self, order: Order, at: int) -> Choice:
        return Choice(str(at + 1), say("Number {number}", number=at + 1))

    def place_of(self, question: Question, given: str) -> int:
        return int(given) - 1

    def explain(self, question: Question, given: str) -> Explanation:
        swaras, at = swaras_in(question), self.place_of(question, question.right[0])
        chosen = self.place_of(question, given)
        why = _counted_up(swaras, at)
        if chosen != at:
            order = in_letters(order_at(swaras, chosen))
            why += " " + say("Number {number} is {order}.", number=given, order=order)
        return self.told(
            question,
            given,
            why=why,
            orders=[swaras, order_at(swaras, at)],
            deciding=(2 * len(swaras) - 1,),
            given_orders=[swaras, order_at(swaras, chosen)],
            given_plays=say("the first order, then number {number}", number=given),
        )

    def introduce(self, question: Question) -> str:
        swaras, block = swaras_in(question), count(len(question.detail["swaras"].split()) - 1)
        return say(
            "The orders are numbered so: {orders}. The last swara stays for {block} orders, first "
            "{first} and at the end {last}; among them those before it take their own succession.",
            orders=all_orders(swaras),
            block=number_word(block),
            first=in_letters([swaras[-1]]),
            last=in_letters([swaras[0]]),
        )


def _counted_up(swaras: Order, at: int) -> str:
    order, block = order_at(swaras, at), count(len(swaras) - 1)
    passed, within = divmod(at, block)
    return say(
        _IN_MORE if block > 2 else _IN_TWO,
        swara=in_letters([order[-1]]),
        first=block * passed + 1,
        last=block * (passed + 1),
        order=in_letters(order),
        which=ordinal(within),
        number=at + 1,
    )


_IN_TWO = to_say(
    "{swara} stands last in numbers {first} and {last}; of these {order} is the {which}, number "
    "{number}."
)
_IN_MORE = to_say(
    "{swara} stands last in numbers {first} to {last}; of these {order} is the {which}, number "
    "{number}."
)
"""Of as many rows as a swara stays the last one."""
