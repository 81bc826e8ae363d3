"""Weak spots: only what is weak, the worst first, confused pairs side by side."""

from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from scheduler import Item, Meeting, Memory, families_of
from scheduler.weak import MOST, weak_spots
from scheduler.why import reason_for
from tests.scheduler.conftest import START

COURSE = tuple(Item(f"gap:{n}", "gap", "perception", "gaps", 0.25, 10.0) for n in range(60))
NOW = START + timedelta(days=9)


def meeting(number, credit=1.0, *, day=0.0, heard=None):
    return Meeting(
        skill=COURSE[number].skill,
        kind="gap",
        credit=credit,
        heard=None if heard is None else COURSE[heard].skill,
        chance=0.25,
        response_ms=2000,
        utc_ms=round((START + timedelta(days=day)).timestamp() * 1000),
        monotonic_s=86_400.0 * day,
        device="tablet",
        session=f"day {int(day)}",
    )


def well_known(number):
    return [meeting(number, day=day) for day in (0, 2, 5, 8)]


def memory_of(*meetings):
    ordered = sorted(meetings, key=lambda one: one.utc_ms)
    return Memory.rebuilt(ordered, families=families_of(COURSE))


def weak(*meetings):
    return [item.skill for item in weak_spots(COURSE, memory_of(*meetings), NOW)]


def test_there_is_none_before_anything_is_met():
    assert weak() == []


def test_what_is_known_or_on_its_way_is_none():
    assert weak(*well_known(3), meeting(5, day=8.5)) == []


def test_what_was_missed_last_is_one_until_it_is_right():
    missed = [meeting(4, 0.0, day=8)]
    assert weak(*well_known(3), *missed) == ["gap:4"]
    assert weak(*well_known(3), *missed, meeting(4, day=8.9)) == []


def test_what_was_firm_and_has_faded_is_one():
    memory = memory_of(*well_known(3))
    later = NOW + timedelta(days=400)
    assert memory.state("gap:3", NOW) == "firm"
    assert [item.skill for item in weak_spots(COURSE, memory, later)] == ["gap:3"]


def test_both_sides_of_a_confusion_are_there_side_by_side_even_where_one_is_firm():
    found = weak(
        *well_known(7),
        meeting(20, 0.0, day=6),
        meeting(2, 0.0, day=8, heard=7),
        meeting(21, 0.0, day=6),
    )
    assert abs(found.index("gap:2") - found.index("gap:7")) == 1
    assert set(found) == {"gap:2", "gap:7", "gap:20", "gap:21"}


def test_what_is_firm_but_was_heard_for_another_is_asked_beside_that():
    def why(*meetings):
        return str(reason_for("gap:7", memory_of(*well_known(7), *meetings), NOW, lesson=None))

    assert why() == "firm 1"
    assert why(meeting(2, 0.0, day=8, heard=7)) == "heard for gap:2"
    assert why(meeting(2, 0.0, day=-60, heard=7)) == "firm 1"


def test_a_confusion_with_what_is_not_begun_brings_nothing_new():
    assert weak(meeting(2, 0.0, day=8, heard=7)) == ["gap:2"]


def test_an_old_confusion_fades():
    once = [meeting(2, 0.0, day=-60, heard=7), meeting(2, day=-59)]
    assert not set(weak(*well_known(2), *well_known(7), *once))


def test_the_worst_comes_first():
    found = weak(
        *well_known(1),
        meeting(1, 0.0, day=8.5),
        *(meeting(2, 0.0, day=day) for day in (1, 4, 8)),
        *(meeting(8, 0.0, day=day, heard=9) for day in (1, 4, 8)),
        meeting(9, day=8),
    )
    assert found[:2] == ["gap:8", "gap:9"]
    assert found.index("gap:2") < found.index("gap:1")


@given(
    st.lists(
        st.tuples(
            st.integers(0, 59),
            st.sampled_from([0.0, 0.5, 1.0]),
            st.floats(0, 8.9),
            st.none() | st.integers(0, 59),
        ),
        max_size=60,
    )
)
def test_however_a_log_looks_they_are_begun_bounded_and_each_there_once(rows):
    met = [meeting(n, credit, day=day, heard=heard) for n, credit, day, heard in rows]
    memory = memory_of(*met)
    found = weak_spots(COURSE, memory, NOW)
    assert len({item.skill for item in found}) == len(found) <= MOST + 2
    assert all(item.skill in memory.beliefs for item in found)
    missed = [skill for skill, belief in memory.beliefs.items() if belief.missed]
    if len(found) < MOST:
        assert set(missed) <= {item.skill for item in found}
