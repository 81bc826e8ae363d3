"""A whole practice by touch: begin, twenty answers, some wrong, the end; the log has all."""

import re
import sqlite3
from contextlib import closing

import pytest

from quizzes.courses import load_course
from scheduler import Log
from tests.window.hands import frames, key, tab_to, touch, wait_for
from tests.window.practising import (
    answer,
    begin,
    give,
    give_by_keys,
    leave,
    main_plate,
    pass_introduction,
    practise,
)

pytestmark = pytest.mark.window


def rows(app):
    app.practice.close()
    log = Log(app.practice.folder / "log.sqlite")
    try:
        return list(log.answers(app.practice.settings.student_id))
    finally:
        log.close()


def words_on(screen):
    return [part.text for part in screen.walk(restrict=True) if getattr(part, "text", "")]


def reasons_on(first):
    """Why each thing is asked that the first screen shows, as soon as it is worked out."""
    lines = first.ids.lines
    return [line.why for line in wait_for(lambda: lines.children, what="what today holds")]


@pytest.mark.parametrize("size", [(600, 960)], ids=["portrait"])  # others: test_room, test_drill
def test_twenty_answers_by_touch_stand_in_the_log_as_they_were_given(open_app, size):
    app = open_app(size)
    drill = begin(app)
    answers = practise(drill, 20)
    summary = leave(app, drill)
    assert app.manager.current == "summary"
    touch(summary.ids.instrument)
    assert app.manager.current == "instrument"
    assert app.manager.current_screen.exercise.varied == app.practice.palta_of_day()
    kept = rows(app)
    counted = re.fullmatch(
        r"20 answers: (\d+) asked in earnest, (\d+) right; "
        r"(\d+) shown for the first time(?:, (\d+) again)?\.",
        summary.answered,
    )
    asked, right, new, again = (int(count or 0) for count in counted.groups())
    assert asked + new + again == 20
    firsts = {row.skill: row for row in reversed(kept)}.values()  # each was told before
    assert new == len(firsts)
    at_most = 15 - sum(row.credit == 1.0 for row in firsts)
    assert at_most - again <= right <= at_most
    assert [(row.skill, row.seed, row.given) for row in kept] == [
        (question.skill, question.seed, given) for question, given in answers
    ]
    assert [row.credit == 1.0 for row in kept] == [given in q.right for q, given in answers]


def test_an_answer_is_on_disk_when_its_verdict_is_shown(open_app):
    app = open_app()
    drill = begin(app)
    practise(drill, 1)
    log = Log(app.practice.folder / "log.sqlite")
    try:
        assert len(list(log.answers(app.practice.settings.student_id))) == 1
    finally:
        log.close()


def test_what_somebody_else_answered_is_left_out_or_put_back_and_done_leads_to_a_screen_that_knows(
    open_app,
):
    app = open_app()
    first = app.manager.get_screen("practice")
    before = reasons_on(first)
    drill = begin(app)
    practise(drill, 4, wrong_every=2)
    summary, knew = leave(app, drill), repr(app.practice._memory)
    with closing(sqlite3.connect(app.practice.folder / "log.sqlite")) as other:
        other.execute("BEGIN IMMEDIATE")  # another program holds it
        touch(summary.ids.turn)
    frames(2)
    assert any("log.sqlite: another program holds it" in text for text in words_on(summary))
    assert summary.ids.turn.text == "Somebody else answered: leave these out"
    touch(summary.ids.turn)  # as a student who had handed the tablet on
    assert "Left out: 4 answers stay in the log and count for nothing." in words_on(summary)
    assert "What moved" not in words_on(summary)
    assert app.practice._memory.beliefs == {}
    tab_to(lambda: summary.ids.turn.focused)
    assert summary.ids.turn.text == "Put them back"
    key("enter")
    assert "What moved" in words_on(summary)
    assert repr(app.practice._memory) == knew
    tab_to(lambda: summary.ids.done.focused)
    key("enter")
    assert app.manager.current == "practice"
    assert reasons_on(first) != before
    app.go("settings")  # that it was somebody else may be thought of later, too
    settings = app.manager.current_screen
    (held,) = settings.ids.practices.children
    for turned in ("Put back", "Leave out", "Put back"):
        settings.ids.roll.scroll_to(held.ids.plate, animate=False)
        frames(4)
        touch(held.ids.plate)
        wait_for(lambda turned=turned: held.ids.plate.text == turned, what=turned)
    touch(settings.ids.done)
    assert app.practice._memory.beliefs == {}
    assert reasons_on(first) == before


def test_closing_the_window_in_the_midst_of_a_drill_keeps_the_answers(open_app):
    app = open_app()
    drill = begin(app)
    practise(drill, 3)
    app.dispatch("on_stop")
    assert len(rows(app)) == 3


def test_being_put_away_falls_silent_and_coming_back_sounds_again(open_app):
    app = open_app()
    drill = begin(app)
    assert app.on_pause() is True
    assert app.practice.speaker.volume_db <= -80
    app.on_resume()
    assert app.practice.speaker.volume_db == app.practice.settings.volume_db
    practise(drill, 1)
    assert len(rows(app)) == 1


def test_minutes_are_chosen_before_beginning(open_app):
    app = open_app()
    first = app.manager.get_screen("practice")
    more = next(p for p in first.ids.minutes.walk() if getattr(p, "text", "") == "+")
    touch(more)
    assert first.minutes == 20
    assert "20 minutes" in first.headline
    drill = begin(app)
    assert 19 * 60 < drill._session.seconds_left <= 20 * 60


def test_a_practice_can_be_done_by_keys_alone(open_app):
    app = open_app()
    key("enter")
    drill = app._screen("drill")
    for _ in range(3):
        wait_for(lambda: drill.stage in ("new", "asking"), what="a question")
        if drill.stage == "new":
            key("enter")
        give_by_keys(drill, drill._step.question.right[0])
        assert drill.verdict == "Right"
        key("enter")
    assert len(rows(app)) == 3


def test_a_second_session_goes_on_from_the_first(open_app):
    app = open_app()
    drill = begin(app)
    practise(drill, 2)
    leave(app, drill)
    key("enter")
    drill = begin(app)
    answer_stage = drill.stage
    assert answer_stage in ("new", "asking")
    if answer_stage == "new":
        key("enter")
    answer(drill)
    leave(app, drill)
    assert len(rows(app)) == 3


def test_an_answer_that_cannot_be_kept_is_told_and_may_be_given_again(open_app):
    app = open_app()
    drill = begin(app)
    log = app.practice._log._db
    log.execute(f"PRAGMA max_page_count = {log.execute('PRAGMA page_count').fetchone()[0]}")
    for _ in range(60):
        pass_introduction(drill)
        give(drill, drill._step.question.right[0])
        if drill.trouble:
            break
        touch(main_plate(drill))
        wait_for(lambda: drill.stage in ("new", "asking"), what="the next question")
    assert "disk is full" in drill.trouble
    assert drill.stage == "asking"
    log.execute("PRAGMA max_page_count = 1000000")
    give(drill, drill._step.question.right[0])
    assert drill.stage == "answered"
    assert drill.verdict == "Right"


def test_a_line_written_by_touch_stands_in_the_log_key_by_key(open_app, monkeypatch, tmp_path):
    skill = "strokes:write:dir:4"
    step = f'[[step]]\nname = "Four strokes"\nskills = ["{skill}"]\n'
    (tmp_path / "first-path.toml").write_text(f'name = "Strokes"\nabout = "One skill."\n{step}')
    real = load_course
    monkeypatch.setattr(
        "practice.courses.load_course", lambda course, **_: real(course, folder=tmp_path)
    )
    app = open_app()
    drill = begin(app)
    pass_introduction(drill)
    line = drill._step.question.right[0].split()
    given = " ".join([*line[:3], "ra" if line[3] == "da" else "da"])
    give(drill, given)
    [row] = rows(app)
    assert (row.skill, row.given) == (skill, given)
    assert 0.0 <= row.credit < 0.75  # three of four, less what a blind guess earns
    assert drill.verdict.endswith("3 of 4")
