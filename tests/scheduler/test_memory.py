"""What one student knows, rebuilt from answers and asked about at a time."""

import hashlib
import json
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler import Log, Meeting, Memory, families_of
from scheduler.memory import MODEL

START_MS = 1_767_636_000_000
DAY_MS = 86_400_000
LATE_MS = START_MS + 100 * DAY_MS
FAMILIES_OF = {"a": "perception", "b": "facts", "c": "orders"}
KIN_OF = {"a": "raga", "b": "raga"}
skills = st.sampled_from("abcd")  # "d" is of no family
meetings = st.builds(
    Meeting,
    skill=skills,
    kind=st.sampled_from(["swara", "gap"]),
    credit=st.one_of(st.just(1.0), st.just(0.0), st.floats(0, 1)),
    heard=st.one_of(st.none(), skills),
    chance=st.floats(0, 1),
    response_ms=st.integers(-5000, 120_000),
    utc_ms=st.integers(START_MS, START_MS + 90 * DAY_MS),
    monotonic_s=st.floats(0, 1e6),
    device=st.just("tablet"),
    session=st.sampled_from(["1", "2", "3"]),
)


def at(day):
    return datetime(2026, 1, 5, 18, tzinfo=UTC) + timedelta(days=day)


@given(st.lists(meetings, max_size=25))
def test_rebuilding_takes_the_same_steps_to_the_last_bit(answers):
    memory = Memory(families=FAMILIES_OF)
    for answer in answers:
        memory = memory.after(answer)
    rebuilt = Memory.rebuilt(answers, families=FAMILIES_OF)
    assert repr(rebuilt) == repr(memory)  # repr tells all floats apart
    assert rebuilt == memory


@given(st.lists(meetings, max_size=25), meetings)
def test_what_is_kept_comes_back_to_the_last_bit(answers, more):
    memory = Memory.rebuilt(answers, families=FAMILIES_OF, kin=KIN_OF)
    data = json.loads(json.dumps(memory.as_json()))
    again = Memory.from_json(data, families=FAMILIES_OF, kin=KIN_OF)
    assert repr(again) == repr(memory)
    assert repr(again.after(more)) == repr(memory.after(more))


@given(st.lists(meetings, max_size=20), st.randoms(use_true_random=False))
def test_the_order_of_answers_to_unrelated_skills_changes_nothing(answers, random):
    """Within a session, each skill of a kind of its own, as when two go on side by side; not in the
    last bit, nor in what the session has told of the families."""
    alike = [
        answer._replace(kind=answer.skill, session="1", utc_ms=START_MS, monotonic_s=9.0)
        for answer in answers
    ]
    queues = {skill: [answer for answer in alike if answer.skill == skill] for skill in "abcd"}
    order = [answer.skill for answer in alike]
    random.shuffle(order)
    shuffled = [queues[skill].pop(0) for skill in order]
    one, other = (Memory.rebuilt(rows, families=FAMILIES_OF) for rows in (alike, shuffled))
    for part in ("beliefs", "figures", "leanings", "heard", "paces"):
        assert getattr(one, part) == getattr(other, part)


@given(st.lists(meetings, min_size=1, max_size=12), st.sampled_from([0.0, 1.0]))
def test_kin_lend_each_other_a_little_and_others_nothing(answers, credit):
    memory = Memory.rebuilt(answers, families=FAMILIES_OF, kin=KIN_OF)
    last = max(answers, key=lambda answer: answer.utc_ms)
    told = last._replace(skill="a", credit=credit, chance=0.25, session="1", utc_ms=LATE_MS)
    memory = memory.after(told._replace(skill="c", session="late"))  # takes up the figures
    after = memory.after(told._replace(session="late"))
    moved = after.common("b") - memory.common("b")
    assert moved >= 0.0 if credit else moved <= 0.0
    assert abs(moved) <= 1.5
    assert after.beliefs.get("b") == memory.beliefs.get("b")
    assert after.common("c") == memory.common("c")
    known = [one.knowledge("b", at(200)) for one in (memory, after)]
    assert known == sorted(known, reverse=not credit)


@given(st.lists(meetings, max_size=10), meetings)
def test_an_earlier_memory_stays_as_it_was(answers, more):
    memory = Memory.rebuilt(answers, families=FAMILIES_OF)
    before = repr(memory)
    memory.after(more)
    assert repr(memory) == before


@given(st.lists(meetings, max_size=12), skills, st.floats(0, 300), st.floats(0, 300))
def test_a_prediction_lies_between_luck_and_certainty_and_falls(answers, skill, one, other):
    memory = Memory.rebuilt(answers, families=FAMILIES_OF)
    soon, late = sorted((one, other))
    first, second = (memory.predict(skill, at(100 + day), 0.25) for day in (soon, late))
    assert 0.25 <= second <= first <= 0.95


def test_a_log_gives_back_the_memory_of_each_step(tmp_path, answer_to):
    memory = Memory(families=FAMILIES_OF)
    answers = [
        answer_to("abcd"[i % 4], day=i * 0.7, credit=(i % 3) / 2, heard="a", response_ms=500 * i)
        for i in range(40)
    ]
    with Log(tmp_path / "log.db") as log:
        for answer in answers:
            log.append(answer)
            memory = memory.after(answer)
    with Log(tmp_path / "log.db") as log:
        assert repr(Memory.rebuilt(log.meetings(), families=FAMILIES_OF)) == repr(memory)
        assert repr(Memory.rebuilt(log.answers(), families=FAMILIES_OF)) == repr(memory)


def test_a_gap_that_may_be_a_false_clock_s_is_weighed_as_after_a_week(answer_to):
    """And teaches nothing of how this student forgets."""
    begun = [answer_to("a", day=0), answer_to("a", day=1)]
    after = {
        days: Memory.rebuilt([*begun, answer_to("a", day=1 + days)], families=FAMILIES_OF)
        for days in (7, 60, 400)
    }
    strengths = {days: memory.beliefs["a"].strength for days, memory in after.items()}
    assert strengths[60] == strengths[400] == pytest.approx(strengths[7])
    gathered = {days: memory.figures["perception"].gathered for days, memory in after.items()}
    assert any(gathered[7])
    assert not any(gathered[60])


def test_a_confusion_under_a_clock_that_was_ahead_fades_all_the_same(answer_to):
    answers = [answer_to("a", day=365, credit=0.0, heard="b"), answer_to("a", day=10)]
    memory = Memory.rebuilt(answers, families=FAMILIES_OF)
    assert memory.confusions("a", at(70))[0][1] < 0.001
    assert memory.times_heard("a", "b", at(70)) == 0


def test_an_answer_of_forty_minutes_says_nothing_by_its_time(answer_to):
    usual = [answer_to("b", day=i, response_ms=2000) for i in range(12)]
    put_down, none = (
        Memory.rebuilt([*usual, answer_to("a", day=13, response_ms=ms)], families=FAMILIES_OF)
        for ms in (2_400_000, 2000)
    )
    assert put_down.paces == Memory.rebuilt(usual, families=FAMILIES_OF).paces
    assert put_down.beliefs["a"].strength == pytest.approx(none.beliefs["a"].strength, abs=1e-3)


def test_setting_the_clock_during_a_session_does_no_harm(answer_to):
    steady = [answer_to("a", day=0), answer_to("b", day=0, monotonic_s=70.0)]
    steady[1] = answer_to("a", day=20 / 86_400, monotonic_s=70.0, session="day 0")
    for days_off in (-400, 3650):
        moved = [
            steady[0],
            answer_to("a", day=days_off, monotonic_s=70.0, session="day 0"),
        ]
        assert (
            Memory.rebuilt(moved, families=FAMILIES_OF).beliefs
            == Memory.rebuilt(steady, families=FAMILIES_OF).beliefs
        )


def test_a_clock_set_back_between_sessions_counts_as_one_day(answer_to):
    back = [answer_to("a", day=30), answer_to("a", day=10)]
    usual = [answer_to("a", day=9), answer_to("a", day=10)]
    found, wanted = (Memory.rebuilt(answers, families=FAMILIES_OF) for answers in (back, usual))
    assert found.beliefs["a"].strength == pytest.approx(wanted.beliefs["a"].strength)
    assert found.days_since("a", at(11)) == pytest.approx(1.0)


def test_a_month_missed_leaves_memory_in_order(answer_to):
    answers = [answer_to("a", day=day) for day in range(6)]
    memory = Memory.rebuilt(answers, families=FAMILIES_OF)
    assert memory.state("a", at(5)) == "firm"
    assert memory.state("a", at(60)) == "shaky"
    assert memory.after(answer_to("a", day=60)).state("a", at(60)) == "firm"


def test_confusions_are_kept_by_ordered_pair_and_fade(answer_to):
    answers = [
        answer_to("a", day=0, credit=0.0, heard="b"),
        answer_to("a", day=10, credit=0.0, heard="c"),
        answer_to("a", day=11, credit=0.0, heard="c"),
        answer_to("b", day=11, credit=0.5, heard="a"),
        answer_to("b", day=11, credit=1.0, heard="c"),
        answer_to("c", day=11, credit=0.0, heard="c"),
    ]
    memory = Memory.rebuilt(answers, families=FAMILIES_OF)
    (worst, weight), (other, less) = memory.confusions("a", at(14))
    assert (worst, other) == ("c", "b")
    assert less == pytest.approx(0.5)  # one, fourteen days ago
    assert weight == pytest.approx(2 ** (-4 / 14) + 2 ** (-3 / 14))
    assert memory.times_heard("a", "c", at(14)) == 2
    assert memory.times_heard("a", "b", at(14)) == 0
    assert [pair[:2] for pair in memory.pairs(at(14))] == [("a", "c"), ("b", "a"), ("a", "b")]


def test_quickness_is_measured_by_the_student_s_own_pace(answer_to):
    """A student who always takes six seconds is not slow in taking six."""

    def strength(usual_ms, last_ms):
        answers = [answer_to("b", day=i, response_ms=usual_ms) for i in range(12)]
        answers.append(answer_to("a", day=13, response_ms=last_ms))
        return Memory.rebuilt(answers, families=FAMILIES_OF).beliefs["a"].strength

    assert strength(6000, 6000) == pytest.approx(strength(1500, 1500))
    assert strength(6000, 1500) > strength(6000, 6000) > strength(6000, 24_000)


def test_families_come_from_the_course(course):
    assert families_of(course)["stage:3"] == "orders"
    memory = Memory(families=families_of(course))
    assert memory.family("stage:3").first == 3.0
    assert memory.family("of no course").first == 2.4


def test_one_log_gives_one_memory_on_every_machine():
    """The digest changes with what answers teach, and with it `MODEL` must: what is kept beside a
    log by an earlier model would be believed otherwise."""
    answers, state = [], 12345
    for number in range(400):
        state = (1103515245 * state + 12345) % 2**31  # ISO C's example of rand
        answers.append(
            Meeting(
                skill=f"s{state // 7 % 23}",
                kind=f"k{state // 7 % 3}",
                credit=(1.0, 1.0, 0.0, 0.6)[state // 11 % 4],
                heard=f"s{state // 13 % 23}",
                chance=(0.25, 0.5, 1 / 3)[state // 17 % 3],
                response_ms=500 + state // 19 % 6000,
                utc_ms=START_MS + number * DAY_MS // 9,
                monotonic_s=number * 9600.0,
                device="tablet",
                session=f"{number // 20}",
            )
        )
    families = {f"s{i}": ("perception", "facts", "orders")[i % 3] for i in range(23)}
    kin = {f"s{i}": f"kin {i // 3}" for i in range(12)}
    memory = Memory.rebuilt(answers, families=families, kin=kin)
    digest = hashlib.sha256(json.dumps(memory.as_json()).encode()).hexdigest()[:16]
    assert (MODEL, digest) == (5, "19a3862047f58614")
