"""The way of one answer, with nothing mocked: real log, real questions, real sound files."""

import sqlite3
import time
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import numpy as np
import parselmouth
import pytest

from audio.tuning import hz
from audio.wav import read_wav
from practice import Mode, StepError
from practice.recording import practice_of
from quizzes import Setting, make_question
from scheduler import FullDiskError, Log
from tests.steps import ask, wrong


def answers_in(practice):
    with Log.reading(practice.folder / "log.sqlite") as log:
        return list(log.answers())


def test_an_answer_is_on_disk_before_it_is_told(open_practice):
    practice = open_practice()
    session = practice.start(15)
    for number in range(1, 6):
        step = ask(session)
        session.answer(step.question.right[0])
        with closing(sqlite3.connect(practice.folder / "log.sqlite")) as log:
            assert log.execute("select count(*) from answers").fetchone() == (number,)


def test_every_row_makes_its_question_again(open_practice):
    practice = open_practice()
    session = practice.start(15)
    asked = []
    for _ in range(12):
        step = ask(session)
        asked.append(step)
        session.answer(step.question.choices[0].id)
    rows = answers_in(practice)
    assert len(rows) == 12
    for row, step in zip(rows, asked, strict=True):
        again = make_question(row.skill, seed=row.seed, setting=Setting.from_json(row.setting))
        assert again == step.question
        assert row.choices == tuple(choice.id for choice in again.choices)
        assert row.right == again.right
        assert row.chance == step.chance >= again.chance


def test_the_chance_in_the_log_is_that_of_who_remembers_what_was_asked(open_practice):
    session = open_practice().start(15)
    last = None
    for _ in range(20):
        step = ask(session)
        question = step.question
        if step.introduction:
            assert step.chance == 1.0  # it has just been told
        elif question.kind == "swara":
            others = [c for c in question.choices if c.skill != last]  # none comes twice in a row
            assert step.chance == 1 / len(others)
        last = question.skill
        session.answer(question.right[0])


def test_a_new_skill_is_shown_before_it_is_asked_and_only_then_counts(open_practice):
    session = open_practice().start(15)
    step = session.next()
    assert step.introduction
    assert step.why == "new to you"
    session.play()
    with pytest.raises(StepError, match="call ask"):
        session.answer(step.question.right[0])
    session.ask()
    with pytest.raises(StepError, match="not sounded yet"):
        session.answer(step.question.right[0])
    session.play()
    assert session.answer(step.question.right[0]).mark.right


def test_steps_out_of_order_are_refused(open_practice):
    session = open_practice().start(15)
    with pytest.raises(StepError, match="call next"):
        session.play()
    step = ask(session)
    with pytest.raises(StepError, match="not answered yet"):
        session.next()
    with pytest.raises(StepError, match="not answered yet"):
        session.play_right()
    session.answer(step.question.right[0])
    with pytest.raises(StepError, match="answered already"):
        session.answer(step.question.right[0])
    with pytest.raises(StepError, match="nothing else to play"):
        session.play_given()


def test_a_choice_that_is_not_offered_leaves_no_row(open_practice):
    practice = open_practice()
    session = practice.start(15)
    ask(session)
    with pytest.raises(KeyError):
        session.answer("X")
    assert answers_in(practice) == []


def test_what_was_missed_is_asked_early_in_the_next_session(open_practice, clock):
    practice = open_practice()
    session = practice.start(15)
    missed = []
    for number in range(14):
        step = ask(session)
        if number in (9, 13):
            missed.append(step.question.skill)
            session.answer(wrong(step))
        else:
            session.answer(step.question.right[0])
    session.end()
    clock.forward(days=1)
    practice = open_practice()
    session = practice.start(15)
    seen = []
    for _ in range(16):
        step = ask(session)
        seen.append(step.question.skill)
        session.answer(step.question.right[0])
    assert set(missed) <= set(seen)


def test_no_skill_twice_in_a_row_and_the_wall_clock_may_run_back(open_practice, clock):
    session = open_practice().start(15)
    seen = []
    for number in range(25):
        clock.forward(seconds=-3600 if number == 10 else 8)
        step = ask(session)
        seen.append(step.question.skill)
        session.answer(step.question.right[0] if number % 3 else step.question.choices[-1].id)
    assert all(a != b for a, b in pairwise(seen))
    assert len({skill.partition(":")[0] for skill in seen}) >= 2


def test_after_a_night_asleep_the_morning_s_answers_stand_under_another_id_at_their_own_time(
    open_practice, clock, monkeypatch
):
    practice = open_practice()
    session = practice.start(15)
    evening, morning = [], []
    for part in (evening, morning):
        for _ in range(3):
            step = ask(session)
            part.append(step.question.skill)
            session.answer(step.question.right[0])
            clock.forward(seconds=9)
        clock.forward(hours=10)  # the steady clock stands still meanwhile
    first, second = session.ids
    assert practice_of(first) == practice_of(second) == first
    rows = answers_in(practice)
    assert [row.session for row in rows] == [first] * 3 + [second] * 3
    steady = time.monotonic
    monkeypatch.setattr(time, "monotonic", lambda: steady() + 36_009.0)  # does not stand still
    session.answer(ask(session).question.right[0])
    assert answers_in(practice)[-1].session == second
    assert session.end().answered == 7
    practice.end()
    beliefs = practice._memory.beliefs
    for skill in morning:
        assert beliefs[skill].at_s >= (clock.now - timedelta(hours=11)).timestamp()
    for skill in set(evening) - set(morning) - {answers_in(practice)[-1].skill}:
        assert beliefs[skill].at_s < (clock.now - timedelta(hours=19)).timestamp()
    practice.leave_out_last()
    assert practice._memory.beliefs == {}


def test_a_session_ends_when_its_time_is_up(open_practice):
    session = open_practice().start(0.3)
    step = ask(session)
    assert step is not None
    session._spent_s = 15.0  # of eighteen seconds
    session.answer(step.question.right[0])
    assert session.next() is None
    summary = session.end()
    assert summary.answered == 1
    assert "volume low" in summary.caution


def test_the_summary_says_what_moved_and_counts_no_question_that_was_told(open_practice):
    session = open_practice().start(15)
    told = new = 0
    for _ in range(8):
        step = ask(session)
        told += step.introduction is not None
        new += step.introduction is not None and not step.once_more
        session.answer(step.question.right[0])
    summary = session.end()
    assert 2 <= new <= told < 8
    assert (summary.answered, summary.right, summary.new, summary.shown) == (
        8,
        8 - told,
        new,
        told - new,
    )
    shown = f"{new} shown for the first time" + (f", {told - new} again" if told > new else "")
    asked = f"{8 - told} asked in earnest, {8 - told} right"
    assert summary.counts == f"8 answers: {asked}; {shown}"
    assert (summary.met, summary.moved) == (f"{new} met for the first time", ())


def test_memory_is_the_same_after_reopening(open_practice, clock):
    practice = open_practice()
    session = practice.start(15)
    for number in range(10):
        step = ask(session)
        session.answer(step.question.right[0] if number % 4 else wrong(step))
    practice.end()
    before = practice._memory
    again = open_practice()
    assert again._memory.beliefs == before.beliefs
    assert again._memory.heard == before.heard


def test_the_cue_sounds_the_swara_that_is_marked_right(open_practice):
    session = open_practice(speaker="wav").start(15)
    step = ask(session)
    playing = session.play()
    stroke = step.question.cue.strokes[0]
    expected = hz(stroke.path[0][1], sa_hz=step.question.cue.sa_hz)
    samples = read_wav(playing.path).astype(np.float64)
    middle = samples[len(samples) // 2 : len(samples) // 2 + 22_050]
    track = parselmouth.Sound(middle, 44_100).to_pitch_ac(pitch_floor=180, pitch_ceiling=700)
    found = float(np.median(track.selected_array["frequency"]))
    # The drone under it pulls a pitch tracker by a little.
    assert abs(1200 * np.log2(found / expected)) < 15 or expected / found == pytest.approx(
        2, rel=0.01
    )


def test_both_answers_can_be_heard_after_a_mistake(open_practice):
    session = open_practice(speaker="wav").start(15)
    step = ask(session)
    outcome = session.answer(wrong(step))
    right, given = session.play_right(), session.play_given()
    assert right.path != given.path
    assert not np.array_equal(read_wav(right.path)[:1000], read_wav(given.path)[-1000:])
    assert outcome.explanation.given_label != outcome.explanation.right_label


def test_levels_of_tuning_follow_the_answers(open_practice):
    practice = open_practice()
    session, levels = practice.start(30, Mode("kind", "tune")), []
    while len(levels) < 4:  # whatever else the plan asks between
        step = ask(session)
        if step.question.skill == "tune:P":
            levels.append(step.question.detail["level"])
        session.answer(step.question.right[0])
    assert levels[-1] < levels[0]
    rows = [row for row in answers_in(practice) if row.skill == "tune:P"]
    assert [row.setting["level"] for row in rows] == levels


def test_the_setting_of_the_student_reaches_the_questions(open_practice):
    practice = open_practice()
    practice.save(replace(practice.settings, sa_hz=220.0, gap_names="size", tuning="equal"))
    session = practice.start(15)
    step = ask(session)
    assert step.question.setting.sa_hz == 220.0
    assert step.question.setting.tuning == "equal"
    assert step.question.setting.names == "size"
    session.answer(step.question.right[0])
    assert answers_in(practice)[0].setting["sa_hz"] == 220.0


def test_body_and_sympathetic_strings_are_heard_as_they_are_set(open_practice):
    heard = {}
    for body, tarab in ((True, False), (False, False), (True, True)):
        practice = open_practice(speaker="wav")
        practice.save(replace(practice.settings, body=body, tarab=tarab))
        session = practice.start(15)
        ask(session)
        heard[body, tarab] = read_wav(session.play().path)
    plain, bare, ringing = heard.values()
    assert len(plain) == len(bare) < len(ringing)
    assert not np.array_equal(plain, bare)
    assert np.abs(plain - ringing[: len(plain)]).max() > 1e-4


def test_a_response_is_timed_from_the_end_of_the_cue(open_practice):
    practice = open_practice(speaker="silence")
    session = practice.start(15)
    step = session.next()
    session.ask()
    playing = session.play()
    session.answer(step.question.right[0])
    (row,) = answers_in(practice)
    # Answered at once, while the cue still had its whole length to go.
    assert row.response_ms < -1000
    assert playing.ends_at > 0
    assert abs(row.utc - practice._now()) < timedelta(seconds=1)


def test_old_cue_files_do_not_pile_up(open_practice):
    practice = open_practice(speaker="wav")
    cues = practice.folder / "cues"
    for number in range(1, 260):
        (cues / f"cue-{number:04d}.wav").write_bytes(b"")
    session = open_practice(speaker="wav").start(15)
    session.next()
    playing = session.play()
    assert playing.path.name == "cue-0260.wav"
    assert len(list(cues.glob("cue-*.wav"))) == 201


def test_an_answer_that_the_disk_cannot_take_is_told_and_may_be_given_again(open_practice):
    practice = open_practice()
    session = practice.start(15)
    log = practice._log._db
    log.execute(f"PRAGMA max_page_count = {log.execute('PRAGMA page_count').fetchone()[0]}")
    said, answered = "", 0
    while not said:
        step = ask(session)
        try:
            session.answer(step.question.right[0])
            answered += 1
        except FullDiskError as error:
            said = str(error)
    assert "Free some room" in said
    assert len(answers_in(practice)) == answered
    log.execute("PRAGMA max_page_count = 1000000")
    assert session.answer(step.question.right[0]).mark.right
    assert len(answers_in(practice)) == answered + 1
    assert ask(session) is not None


def test_a_skill_that_is_missed_again_and_again_is_presented_afresh(open_practice):
    practice = open_practice()
    session = practice.start(15)
    misses, presented = {}, 0
    for _ in range(30):
        step = ask(session)
        skill = step.question.skill
        if misses.get(skill, 0) >= 2:
            assert step.introduction
            assert step.once_more
            misses[skill] = 0
        assert (step.chance == 1.0) == (step.introduction is not None)
        presented += step.once_more
        misses[skill] = misses.get(skill, 0) + 1
        session.answer(wrong(step))
    assert presented >= 2
    summary = session.end()
    assert summary.shown == presented
    assert summary.counts.endswith(
        f"0 right; {len(misses)} shown for the first time, {presented} again"
    )


def test_a_cue_that_still_sounds_falls_silent_with_the_answer(open_practice):
    session = open_practice().start(5)
    step = session.next()
    if session.introducing:
        session.play()
        session.ask()
    playing = session.play()
    assert not playing.ended
    session.answer(step.question.right[0])
    assert playing.wait(1.0)
    assert step.question.cue.duration_s > 1.0
