"""A student who hears nothing but remembers everything gets no further than luck.

Unlike the naive listener of `tests/quizzes`, this one watches the whole practice: what has been
asked so far, and that nothing is asked twice in a row. What was just presented, they know.
"""

import random
from itertools import count

import pytest

from practice import sounding
from tests.no_drone import loop_for
from tests.steps import ask

LEAD = 0.2
"""What remembering more than the last answer may be worth while few skills are begun: a skill
that was just asked is for some questions the less likely."""


@pytest.fixture(scope="module")
def without_drone():
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(sounding, "_loop", loop_for("silence"))
        yield


@pytest.fixture(scope="module")
def guesses(tmp_path_factory, without_drone):
    """For each kind (answers, right ones, sum of the chances that the log has)."""
    from datetime import UTC, datetime, timedelta

    from practice import Practice

    found = {}
    for student in range(2):
        wall = [datetime(2026, 3, 2, 18, 0, tzinfo=UTC)]
        dice, seeds = random.Random(student), count(student * 10_000)
        folder = tmp_path_factory.mktemp("deaf")
        practice = Practice(
            folder, speaker="silence", seeds=lambda s=seeds: next(s), now=lambda w=wall: w[0]
        )
        for _ in range(3):
            session, last = practice.start(15), []
            for _ in range(32):
                step = ask(session)
                question = step.question
                possible = question.possible or [choice.id for choice in question.choices]
                fresh = [c for c in possible if (question.kind, c) not in last[-2:]]
                given = dice.choice(fresh or list(possible))
                if not step.introduction:
                    tally = found.setdefault(question.kind, [0, 0, 0.0])
                    tally[0] += 1
                    tally[1] += given in question.right
                    tally[2] += step.chance
                session.answer(question.right[0] if step.introduction else given)
                last.append((question.kind, question.right[0]))
                wall[0] += timedelta(seconds=12)
            practice.end()
            wall[0] += timedelta(days=1)
        practice.close()
    return found


@pytest.mark.parametrize("kind", ["swara", "gap"])
def test_memory_without_hearing_is_worth_little_more_than_luck(guesses, kind):
    answers, right, chances = guesses[kind]
    assert answers > 30
    assert right / answers < chances / answers + LEAD


def test_a_student_who_hears_nothing_makes_nothing_firm(open_practice, clock):
    practice = open_practice()
    dice = random.Random(5)
    for _ in range(3):
        session = practice.start(15)
        for _ in range(20):
            step = ask(session)
            session.answer(dice.choice(step.question.choices).id)
            clock.forward(seconds=12)
        practice.end()
        clock.forward(days=1)
    states = {practice._memory.state(skill, clock()) for skill in practice._memory.beliefs}
    assert states <= {"shaky", "coming"}
    assert len(practice._memory.beliefs) > 3
