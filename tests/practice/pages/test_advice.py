"""What is suggested for the lesson is what the figures ask for, the weightiest first."""

from dataclasses import replace

import pytest

from practice.pages.advice import Grounds, suggestions
from practice.pages.confusions import Confusion
from practice.pages.guessing import Guessed, Guessing
from practice.pages.moves import Moves
from practice.pages.ready import Ready
from practice.pages.states import Part, States
from practice.pages.topic import Topic
from scheduler.history import Day
from tests.practice.pages.stood import FULL, some_of, stood

OFTEN = dict.fromkeys(range(14), FULL)
FIRM, AHEAD = States(9), States(unheard=4)


def grounds_of(*parts, standing=None, **found):
    """By a student who practises daily and of whom nothing else is to be said."""
    nothing = {
        "topic": Topic(),
        "ready": Ready("ready", ""),
        "moves": Moves((), (), ()),
        "confusions": (),
        "guessing": Guessing((), (), 2),
    }
    parts = tuple(Part(f"Part {number}", each) for number, each in enumerate(parts))
    standing = standing or stood(some_of(firm=5), days=OFTEN)
    return Grounds(standing, parts=parts, **(nothing | found))


def advice(*parts, **found):
    return [(one.text, one.figure) for one in suggestions(grounds_of(*parts, **found))]


def confusion(words, *, sure=True, topic=False):
    return Confusion(
        f"{words} heard as Sa", f"Play {words}.", "9 of 24 (21 to 57 %)", "", "S", "R",
        is_sure=sure, is_of_topic=topic,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("slipped", "text", "figure"),
    [
        (("Ga",), "Ga", "1 skill that was firm four weeks ago is shaky now"),
        (("Ga", "Re"), "Ga and Re", "2 skills that were firm four weeks ago are shaky now"),
        (tuple("abcde"), "a, b, c and 2 more",
         "5 skills that were firm four weeks ago are shaky now"),
    ],
)  # fmt: skip
def test_what_has_slipped_is_taken_up_again_before_a_part_that_is_weak(slipped, text, figure):
    found = advice(States(0, 1, 3), moves=Moves((*slipped, "Pa"), slipped, ()))
    assert found[0] == (f"Take up again what has slipped: {text}.", figure)
    assert found[1][0] == "Go back to “Part 0”."
    assert not any("Ask again for what is shaky" in each for each, _ in found)


GUESSED = {"guessing": Guessing((Guessed("Gaps", "3 of 20"),), (), 2)}
SELDOM = {"standing": stood(some_of(firm=5), days={0: FULL, 13: FULL})}
SLIPPED = {"moves": Moves(("Ga",), ("Ga",), ())}


@pytest.mark.parametrize(
    ("confused", "grounds", "first"),
    [
        ((confusion("Ga"), confusion("Yaman", topic=True)), GUESSED,
         ("Play Yaman.", "Play Ga.", "Have each sound heard to its end")),
        ((confusion("Ga"), confusion("Re", sure=False)), GUESSED | SELDOM,
         ("Play Ga.", "Have each sound heard to its end", "Agree on a time of the day")),
        ((confusion("Ga"), confusion("Re")), SLIPPED,
         ("Play Ga.", "Take up again what has slipped: Ga.", "Play Re.")),
        ((confusion("Re", sure=False),), {},
         ("Play Re.", "Ask for a few of the skills begun", "Keep the daily practice.")),
    ],
    ids=["the lesson's", "guesses", "slips", "what may be chance"],
)  # fmt: skip
def test_what_weighs_most_comes_first(confused, grounds, first):
    found = advice(FIRM, confusions=confused, **grounds)
    for (text, _), wanted in zip(found, first, strict=True):
        assert text.startswith(wanted)


@pytest.mark.parametrize(
    ("practised", "said", "of"),
    [
        ((0, 5, 9, 13), "Agree on a time", "4 of the last 14 days"),
        ((0, 5, 9, 11, 13), "Keep practising.", "5 of the last 14 days"),
        ((0, 5, 9, 14, 15, 16, 17), "Agree on a time", "3 of the last 14 days"),
        ((0, 2, 3), "Keep the daily practice.", "3 of the last 4 days"),
        ((3,), "Agree on a time", "1 of the last 4 days"),
        ((0,), "Keep the daily practice.", "the first day"),
    ],
)
def test_seldom_is_four_days_of_fourteen_or_as_many_as_there_were_since_the_first(
    practised, said, of
):
    days = dict.fromkeys(practised, Day(asked=30, seconds=120.0))
    (text, figure), *_ = (
        each
        for each in advice(FIRM, standing=stood(some_of(firm=5), days=days))
        if each[1].startswith("practised on")
    )
    assert text.startswith(said)
    minutes = 2 * sum(ago < 14 for ago in practised)
    assert figure == f"practised on {of}, {minutes} minutes in all"


@pytest.mark.parametrize(
    ("states", "is_weak"),
    [
        (States(11, 0, 3), True),
        (States(12, 0, 3), False),
        (States(2, 0, 2), True),
        (States(3, 0, 2), False),
        (States(0, 0, 1), False),
    ],
)
def test_a_part_is_weak_by_how_many_are_shaky_and_by_their_share(states, is_weak):
    """What lies ahead is gone on to only where at most one in five is shaky."""
    texts = [text for text, _ in advice(FIRM, states)]
    assert ("Go back to “Part 1”." in texts) == is_weak


def test_nothing_new_is_begun_while_more_than_one_in_five_is_shaky():
    for shaky, goes_on in ((1, True), (2, False)):
        standing = stood(some_of(firm=5 - shaky, shaky=shaky), days=OFTEN)
        texts = [text for text, _ in advice(FIRM, AHEAD, standing=standing)]
        assert ("Go on to “Part 1” (4 skills)." in texts) == goes_on
    away = replace(grounds_of(FIRM, AHEAD), ready=Ready("away", ""))
    assert not any("Part 1" in one.text for one in suggestions(away))


@pytest.mark.parametrize(
    ("part", "said"),
    [
        (Part("Ours", States(9, unheard=1)), "Stay with “Ours” until it holds."),
        (Part("Ours", States(4, 5)), "Stay with “Ours” until it holds."),
        (Part("Ours", States(5, 4)), ""),
        (Part("Ours", AHEAD), "Go on to “Ours” (4 skills)."),
        (Part("Ours", AHEAD, is_deck=True), ""),  # it may be meant for others
    ],
)
def test_a_part_in_hand_is_finished_before_the_next_is_begun(part, said):
    grounds = replace(grounds_of(FIRM), parts=(Part("Before", FIRM), part))
    found = [one.text for one in suggestions(grounds) if "“" in one.text]
    assert found == ([said] if said else [])


def test_of_a_course_that_is_not_here_no_part_is_gone_back_to():
    standing = replace(stood(some_of(firm=5), days=OFTEN), is_course_here=False)
    assert not any("“" in text for text, _ in advice(States(0, 0, 3), standing=standing))


def test_of_a_lesson_what_is_shaky_is_asked_for_by_name_and_else_nothing():
    for state, said in (("shaky", "Ask again for what is shaky of Yaman: Ga."), ("firm", "")):
        standing = stood({"swara:G": state, "swara:S": "firm"}, days=OFTEN)
        topic = Topic(words="Yaman", skills=frozenset(["swara:G", "swara:S"]))
        found = [text for text, _ in advice(FIRM, standing=standing, topic=topic)]
        assert [text for text in found if "Yaman" in text] == ([said] if said else [])
