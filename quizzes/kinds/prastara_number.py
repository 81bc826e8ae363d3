"""`prastara:number:4`: an order of four swaras is heard: at which place of the succession is it?

The numbers offered are two of a block, in which the last swara is the same, and two that stand
alike in another: neither the last swara nor the others alone tell the place.
"""

from __future__ import annotations

from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.prastara_way import Order, PrastaraWay, all_orders, swaras_in
from quizzes.names import ORDINALS, capital, counted, in_letters, number_word
from quizzes.paltas.prastara import count, order_at
from quizzes.question import Choice, Question


class Number(PrastaraWay):
    way = "number"
    sizes = (3, 4)
    seconds = 24.0

    def name_of(self, size: int) -> str:
        return f"the place of an order in the succession, of {counted(size, 'swara')}"

    def prompt(self, size: int) -> str:
        return (
            f"{capital(number_word(size))} swaras in their first order, low to high; then "
            f"one of their {count(size)} orders. What is its number in the succession?"
        )

    def offered(self, fresh: Fresh, size: int) -> list[int]:
        block = count(size - 1)
        blocks = fresh.shuffled(range(size))[:2]
        within = fresh.shuffled(range(block))[:2]
        return sorted(block * one + place for one in blocks for place in within)

    def heard(self, swaras: Order, at: int) -> list[Order]:
        return [swaras, order_at(swaras, at)]

    def choice(self, order: Order, at: int) -> Choice:
        return Choice(str(at + 1), f"Number {at + 1}")

    def place_of(self, question: Question, given: str) -> int:
        return int(given) - 1

    def explain(self, question: Question, given: str) -> Explanation:
        swaras, at = swaras_in(question), self.place_of(question, question.right[0])
        chosen = self.place_of(question, given)
        why = _counted_up(swaras, at)
        if chosen != at:
            why += f" Number {given} is {in_letters(order_at(swaras, chosen))}."
        return self.told(
            question,
            given,
            why=why,
            orders=[swaras, order_at(swaras, at)],
            deciding=(2 * len(swaras) - 1,),
            given_orders=[swaras, order_at(swaras, chosen)],
            given_plays=f"the first order, then number {given}",
        )

    def introduce(self, question: Question) -> str:
        swaras, block = swaras_in(question), count(len(question.detail["swaras"].split()) - 1)
        return (
            f"The orders are numbered so: {all_orders(swaras)}. The last swara stays for "
            f"{number_word(block)} orders, first {swaras[-1]} and at the end {swaras[0]}; among "
            "them those before it take their own succession."
        )


def _counted_up(swaras: Order, at: int) -> str:
    order, block = order_at(swaras, at), count(len(swaras) - 1)
    passed, within = divmod(at, block)
    first, last = block * passed + 1, block * (passed + 1)
    joint = "to" if block > 2 else "and"
    return (
        f"{order[-1]} stands last in numbers {first} {joint} {last}; of these "
        f"{in_letters(order)} is the {ORDINALS[within]}, number {at + 1}."
    )
