"""No line ends in the middle of a group of sargam that has room in it."""

import pytest

from screens.whole_groups import MOST, NO_BREAK, kept_whole

WHOLE = "S R G m P D N S' N D P m G R S"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("four up: S R G R S R G m", "four up: S_R_G_R_S_R_G_m"),
        ("S R G | R G m", "S_R_G | R_G_m"),
        ("n, S r, so to say. G m P and so on", "n,_S_r, so to say. G_m_P and so on"),
        ("it goes R/ G:2 m~ and (P)m -.", "it goes R/_G:2_m~ and (P)m_-."),
        (WHOLE, WHOLE),
        ("A way from S to a P; Sa Re Ga", "A way from S to a P; Sa Re Ga"),
    ],
)
def test_groups_are_bound_and_nothing_else_is(text, shown):
    assert kept_whole(text, lambda group: True).replace(NO_BREAK, "_") == shown
    assert len(WHOLE.split()) > MOST


def test_what_has_no_room_may_be_broken_at_commas_and_else_anywhere():
    text = "S R G, R G m, G m P D"
    shown = kept_whole(text, lambda group: len(group) <= 6)
    assert shown.replace(NO_BREAK, "_") == "S_R_G, R_G_m, G m P D"
