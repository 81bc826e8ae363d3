"""A swara under one of its treatments, in writing and in sound."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from audio.bending import Held, path_of
from audio.line import Beat, Tone
from audio.ornaments import KAN, MEEND_DOWN, MEEND_UP, Hand
from audio.score import Breakpoint, Score
from audio.tuning import Swara, Tuning
from quizzes.left_hand import PARTS, joined
from quizzes.phrases import MATRAS, Phrase
from quizzes.shades import LOW_SHARE

DRAWN_PARTS = 2
DRAWN_SHARE = DRAWN_PARTS / PARTS
"""So much of the stroke a swara that is drawn from another takes until it is there."""
_GLIDE_SHARE = 0.75
KAN_S = 0.08


@dataclass(frozen=True, slots=True)
class Treated:
    """A swara at its place in a phrase, with its neighbours and all that is needed to treat it."""

    phrase: Phrase
    swara: Swara
    below: Swara
    above: Swara
    touch: Swara | None
    depth_cents: float
    """Of a swing about its place."""
    low_depth_share: float
    """Of a swing under its place, as a share of the way down to the swara below."""
    rate_hz: float

    def beat(self, how: str) -> Beat:
        """The stroke in writing, as near to its treatment as writing comes."""
        swung = "andolan" if how in ("swung", "low") else ""
        if how == "low":
            return joined(self.below, MEEND_UP, self.swara, DRAWN_PARTS, sway=swung)
        if how == "above":
            return joined(self.above, MEEND_DOWN, self.swara, DRAWN_PARTS)
        touches = (self.touch,) if self.touch and how == "swung" else ()
        return Beat((Tone(self.swara, "", touches, swung),), MATRAS)


def slowly(treated: Treated) -> Treated:
    """As an explanation plays it: more swings of the same pace, on a longer stroke."""
    return replace(treated, phrase=treated.phrase.explained())


def played(treated: Treated, how: str, tuning: Tuning) -> Score:
    """The phrase with the swara under this treatment."""
    hand = Hand(
        andolan_hz=treated.rate_hz,
        andolan_cents=treated.depth_cents,
        kan_s=KAN_S,
        meend_s=round(_GLIDE_SHARE * DRAWN_SHARE * treated.phrase.length_s, 4),
    )
    path = _path(treated, how, tuning, hand)
    return treated.phrase.cue(treated.beat(how), tuning, hand, path=path)


def _path(treated: Treated, how: str, tuning: Tuning, hand: Hand) -> Sequence[Breakpoint]:
    """The pitch of the stroke under one treatment."""
    place, length_s = tuning.cents_of(treated.swara), treated.phrase.length_s
    drawn_s, rest_s = DRAWN_SHARE * length_s, (1.0 - DRAWN_SHARE) * length_s
    if how == "still":
        return path_of([Held(place, length_s)], [], hand=hand)
    if how == "above":
        from_cents = tuning.cents_of(treated.above)
        held = [Held(from_cents, drawn_s), Held(place, rest_s)]
        return path_of(held, [MEEND_DOWN], hand=hand)
    if how == "low":
        from_cents = tuning.cents_of(treated.below)
        way = place - from_cents
        low_hand = replace(hand, andolan_cents=treated.low_depth_share * way)
        held = [Held(from_cents, drawn_s), Held(place - LOW_SHARE * way, rest_s, "andolan")]
        return path_of(held, [MEEND_UP], hand=low_hand)
    if treated.touch is None:
        return path_of([Held(place, length_s, "andolan")], [], hand=hand)
    touched = Held(tuning.cents_of(treated.touch), hand.kan_s)
    swung = Held(place, length_s - hand.kan_s, "andolan")
    return path_of([touched, swung], [KAN], hand=hand)
