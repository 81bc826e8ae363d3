"""What today holds, in words."""

from tests.steps import ask, wrong


def test_a_first_day_holds_what_is_new(open_practice):
    outlook = open_practice().outlook(15)
    assert outlook.headline.startswith("15 minutes: ")
    assert outlook.lines[0] == ("Sa", "new in your course")
    assert len(outlook.lines) == 5


def test_each_reason_is_told_before_a_second_of_its_kind(open_practice, clock):
    practice = open_practice()
    for day in range(3):
        session = practice.start(15)
        for number in range(20):
            step = ask(session)
            session.answer(wrong(step) if number in (5, 9) else step.question.right[0])
            clock.forward(seconds=10)
        practice.end()
        clock.forward(days=1 + day)
    reasons = [why for _, why in practice.outlook(15).lines]
    assert any(why.startswith("missed") for why in reasons)
    assert "new in your course" in reasons
    assert len(set(reasons)) >= 3


def test_too_short_a_time_is_said_plainly(open_practice):
    practice = open_practice()
    assert "too short" not in practice.outlook(1).headline
    assert practice.outlook(1).headline.startswith("1 minute:")


def test_a_day_of_many_kinds_names_three_and_counts_the_rest(open_practice, clock):
    practice = open_practice()
    for _ in range(2):
        session = practice.start(30)
        for _ in range(25):
            step = ask(session)
            session.answer(step.question.right[0])
            clock.forward(seconds=10)
        practice.end()
        clock.forward(days=1)
    headline = practice.outlook(30).headline
    assert headline.count(",") == 2
    assert headline.endswith(" more")
