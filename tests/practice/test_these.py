"""To drill these means: these against each other, and beside them what is easily taken for them."""

from practice import Mode
from practice.courses import item_of
from practice.modes import LEAST_TOGETHER, Modes
from quizzes.catalogue import skill_of
from scheduler import Memory
from tests.practice.pages.stood import NOW, stood

KNOWN = {
    "swara:S": 0.9, "swara:r": 0.8, "swara:R": 0.3, "swara:g": 0.5,  # of one cluster
    "swara:m": 0.2, "swara:P": 0.7,
    "gap:S-P:up": 0.1,
}  # fmt: skip


def asked(*skills, begun=KNOWN):
    standing = stood({skill: ("coming", known) for skill, known in begun.items()})
    modes = Modes(standing.course, standing.items, standing.memory, NOW)
    return modes.asked(Mode.of_these(skills))


def test_beside_them_comes_first_what_lies_near_and_of_this_the_least_known():
    clusters = {skill: item_of(skill_of(skill)).cluster for skill in KNOWN}
    assert len({clusters[f"swara:{swara}"] for swara in "SrRg"}) == 1
    assert [item.skill for item in asked("swara:S").items] == [
        "swara:S", "swara:R", "swara:g", "swara:r"
    ]  # fmt: skip
    assert [item.skill for item in asked("swara:S", "swara:r").items[2:]] == ["swara:R", "swara:g"]
    assert [item.skill for item in asked("swara:P").items][:2] == ["swara:P", "swara:m"]


def test_as_many_as_are_named_are_asked_and_few_are_filled_up():
    many = list(KNOWN)[:6]
    assert len(many) > LEAST_TOGETHER
    assert {item.skill for item in asked(*many).items} == set(many)
    assert len(asked("swara:S").items) == LEAST_TOGETHER
    assert [item.skill for item in asked("gap:S-P:up").items] == ["gap:S-P:up"]


def test_they_are_set_against_each_other_whenever_that_can_be():
    found = asked("swara:S", "swara:r")
    assert found.side_by_side
    assert found.meant == {"swara:S", "swara:r"}
    assert (
        not Modes(stood({}).course, found.items, Memory(), NOW, new_left=1)
        .asked(Mode("kind", "swara"))
        .side_by_side
    )
