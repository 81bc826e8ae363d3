"""How finely a student hears is read from the log when it is asked, and from its latest answers."""

import random
from datetime import UTC, datetime
from functools import partial

import pytest

from practice.thresholds import LATEST, Thresholds
from quizzes import Setting, make_question
from quizzes.catalogue import kind_of
from scheduler import Answer, Log

SKILL = "tune:P"


def asked(number, skill=SKILL, *, level, chance=0.5, right=True):
    """A question and the row that it leaves."""
    question = make_question(skill, seed=number, setting=Setting(sa_hz=138.59, level=level))
    others = [choice.id for choice in question.choices if choice.id not in question.right]
    given = question.right[0] if right else others[0]
    row = Answer(
        student="Mira",
        skill=skill,
        kind=question.kind,
        seed=number,
        setting=question.setting.as_json(),
        choices=tuple(choice.id for choice in question.choices),
        right=question.right,
        given=given,
        credit=float(right),
        heard=None,
        chance=chance,
        predicted=0.5,
        reason="new",
        response_ms=900,
        utc=datetime.now(UTC),
        offset_min=0,
        monotonic_s=float(number),
        device="desk",
        session="one",
    )
    return question, row


@pytest.fixture
def log(tmp_path):
    with Log(tmp_path / "log.db") as log:
        yield log


def thresholds_of(log):
    return Thresholds(partial(log.latest, "Mira"))


@pytest.mark.parametrize("count", [0, 1, 12, LATEST + 40])
def test_a_log_read_anew_tells_the_same_as_answers_told_one_by_one(log, count):
    rng, told = random.Random(count), Thresholds()
    level, rows = told.next_level(SKILL), []
    for number in range(count):
        chance = rng.choice([1 / 3, 1 / 3, 1 / 2, 1.0])
        question, row = asked(
            number, level=level * rng.uniform(0.5, 1.0), chance=chance, right=rng.random() < 0.7
        )
        rows.append(row)
        told.add(question, row.given, chance)
    log.append_all(rows)
    read = thresholds_of(log)
    assert read.next_level(SKILL) == told.next_level(SKILL)
    if count:
        assert read.of(SKILL)[0] == told.of(SKILL)[0]
        assert 0 < read.of(SKILL)[0].trials < LATEST


def test_an_answer_that_stands_in_the_log_counts_once(log):
    question, row = asked(1, level=20.0)
    log.append(row)
    thresholds = thresholds_of(log)
    thresholds.add(question, row.given, row.chance)
    assert thresholds.of(SKILL)[0].trials == 1
    log.append(asked(2, level=20.0)[1])
    thresholds.add(question, row.given, row.chance)
    assert thresholds.of(SKILL)[0].trials == 2


def test_only_what_is_needed_is_read_and_once():
    read = []

    def latest(skill, count):
        read.append((skill, count))
        return []

    thresholds = Thresholds(latest)
    assert kind_of("swara").level("swara:R") is None
    assert (thresholds.next_level("swara:R"), thresholds.next_level("no:skill")) == (None, None)
    assert read == []
    assert thresholds.next_level(SKILL) == thresholds.next_level(SKILL)
    assert thresholds.of(SKILL) is None
    assert read == [(SKILL, LATEST)]


def test_an_ear_that_has_learnt_leaves_its_old_answers_behind(log):
    """Coarse at first, fine for long: what it hears now is what counts."""
    rows = [asked(n, level=30.0, right=n % 2 == 0)[1] for n in range(60)]
    fine = [asked(n, level=6.0)[1] for n in range(LATEST)]
    log.append_all(rows)
    before = thresholds_of(log).of(SKILL)[0]
    log.append_all(fine)
    with_old = thresholds_of(log).of(SKILL)[0]
    alone = Thresholds(lambda skill, count: fine[::-1]).of(SKILL)[0]
    assert with_old == alone
    assert with_old.level < before.level / 4
