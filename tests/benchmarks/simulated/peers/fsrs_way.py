"""The library fsrs as a peer; the only module that knows its words.

The library counts whole days between two moments. It is given the midnight before each meeting, so
that a practice an hour earlier than yesterday's still comes a day later. What it then says is due
in days is due from the start of that day; what is due in minutes, after those minutes.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from math import floor
from typing import Literal

import numpy as np
from fsrs import Card, Rating, Scheduler, State
from fsrs.scheduler import DEFAULT_PARAMETERS

from scheduler import Item, Meeting
from tests.benchmarks.simulated.peers.choosing import SLIP, DueFirst, Moments, was_right
from tests.benchmarks.simulated.peers.recall import days_to, power_curve

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_A_DAY = timedelta(days=1)
_FIRST = {"again": Rating.Again, "hard": Rating.Hard, "good": Rating.Good}


class FsrsWay(DueFirst):
    """Right is Good, wrong is Again, an introduction `introduced_as`.

    `with_luck` works out what the library makes of either outcome and mixes the two by the
    probability that the answer came from knowledge, given its chance of luck, slips and part
    credit. `by_recall` asks the least recalled first rather than the longest overdue; what is not
    due is always asked by recall. `steps` turns the library's steps of minutes on; `power` sets the
    forgetting curve's exponent, the last of its parameters.
    """

    def __init__(
        self,
        items: Sequence[Item],
        seed: int,
        *,
        with_luck: bool,
        retention: float = 0.9,
        steps: bool = False,
        by_recall: bool = True,
        introduced_as: Literal["again", "hard", "good"] = "good",
        power: float = DEFAULT_PARAMETERS[-1],
        new_a_day: float | None = None,
        new_first: bool = False,
    ) -> None:
        super().__init__(items, new_a_day=new_a_day, new_first=new_first)
        self._library = Scheduler(
            parameters=(*DEFAULT_PARAMETERS[:-1], power),
            desired_retention=retention,
            enable_fuzzing=False,
            **({} if steps else {"learning_steps": (), "relearning_steps": ()}),
        )
        self._with_luck, self._by_recall = with_luck, by_recall
        self._introduced_as, self._power = _FIRST[introduced_as], power
        self._cards: dict[int, Card] = {}
        self._stability = np.ones(len(self.items))
        self._day = np.zeros(len(self.items))

    def introduce(self, place: int, at: float) -> None:
        self._keep(place, at, self._after(Card(card_id=place), self._introduced_as, at))

    def learn(self, place: int, at: float, meeting: Meeting) -> None:
        card = self._cards[place]
        if not self._with_luck:
            rating = Rating.Good if was_right(meeting) else Rating.Again
            self._keep(place, at, self._after(card, rating, at))
            return
        known = self._from_knowledge(place, at, meeting)
        right, wrong = (self._after(card, r, at) for r in (Rating.Good, Rating.Again))
        mixed = right if known >= 0.5 else wrong
        mixed.stability = right.stability**known * wrong.stability ** (1.0 - known)
        mixed.difficulty = known * right.difficulty + (1.0 - known) * wrong.difficulty
        if mixed.state == State.Review:
            retention = self._library.desired_retention
            days = days_to(retention, ninety=mixed.stability, power=self._power)
            mixed.due = mixed.last_review + max(round(days), 1) * _A_DAY
        self._keep(place, at, mixed)

    def pressing(self, now: float) -> Moments:
        if self._by_recall or not (self.met & (self.due_at <= now)).any():
            return -self._recall(now)
        return super().pressing(now)

    def known(self, place: int, now: float) -> float | None:
        return float(self._recall(now)[place]) if self.met[place] else 0.0

    def _recall(self, now: float) -> Moments:
        return power_curve(floor(now) - self._day, ninety=self._stability, power=self._power)

    def _from_knowledge(self, place: int, at: float, meeting: Meeting) -> float:
        """Probability that the student knew it, given the answer."""
        # The library's recall is 1 all day long after a meeting, which no answer could shake.
        days = np.array([max(floor(at) - self._day[place], 1.0)])
        before = float(
            power_curve(days, ninety=self._stability[place : place + 1], power=self._power)[0]
        )
        luck = meeting.chance
        if_right = (1.0 - SLIP) * before / ((1.0 - SLIP) * before + luck * (1.0 - before))
        if_wrong = SLIP * before / (SLIP * before + (1.0 - luck) * (1.0 - before))
        return meeting.credit * if_right + (1.0 - meeting.credit) * if_wrong

    def _after(self, card: Card, rating: Rating, at: float) -> Card:
        return self._library.review_card(card, rating, _EPOCH + floor(at) * _A_DAY)[0]

    def _keep(self, place: int, at: float, card: Card) -> None:
        self._cards[place] = card
        self._stability[place], self._day[place] = card.stability, floor(at)
        wait = (card.due - card.last_review) / _A_DAY
        self.due_at[place] = at + wait if wait < 1.0 else floor(at) + wait
