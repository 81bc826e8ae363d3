"""Phrases that a student made and kept are listed, heard, tried by their raga, let go and taken
back; the teacher hears them at home and sets one as a question.
"""

import time
from datetime import UTC, datetime

import numpy as np
import pytest

from practice import Practice
from practice.log_files import hand_over_log
from practice.phrases import LET_GO, PHRASE, TAKEN_BACK
from scheduler import Log, LogError
from tests.window.hands import frames, key, tab_to, touch, wait_for
from tests.window.kept import noted
from tests.window.opened import app_on
from tests.window.phrases import make
from tests.window.test_answers_carried import drop, take
from tests.window.test_drill import plate
from tests.window.test_main_job import AFTER_PLUCK_S, RATE, drone_hz, off_cents
from tests.window.test_pages import come_to, texts_of
from tests.window.test_room import check, check_targets
from tests.window.written_in import part_of, press

pytestmark = pytest.mark.window

WISH = "raga-make:meend:yaman"
LINE = "N, R G/ P R S"
COURSE = f"""
name = "Making"
about = "To make."
[[step]]
name = "One"
skills = ["{WISH}"]
"""
RATIOS = {"N,": 15 / 16, "R": 9 / 8, "S": 1}
"""Just intonation, as in any textbook of acoustics: swaras above Sa."""
SIGHTS = [((600, 960), "usual"), ((600, 960), "largest"), ((1120, 760), "largest")]


def come_to_phrases(app):
    """From the first screen, by touch."""
    app.go("settings")
    app.go("practice")
    first = app.manager.current_screen
    wait_for(lambda: first._coming is None, what="what a practice holds")
    frames(4)
    press(first, "phrases")
    frames(3)
    assert app.manager.current == "phrases"
    return app.manager.current_screen


def row_of(screen, line):
    (row,) = (row for row in screen.rows if row.phrase.sargam == line)
    return row


def listed(screen):
    return [(row.phrase.sargam, row.gone) for row in screen.rows]


def said_on(row):
    from screens.findings import FindingRow

    return [part for part in row.walk() if isinstance(part, FindingRow)]


@pytest.fixture
def played(monkeypatch):
    """Samples of all that an app plays from when this is called: `played(app)`."""

    def listen(app):
        cues = []
        play = app.practice.speaker.play

        def note(blocks, *, frames):
            cues.append(np.concatenate(list(blocks)))
            return play(iter([cues[-1]]), frames=frames)

        monkeypatch.setattr(app.practice.speaker, "play", note)
        return cues

    return listen


def check_pitches(samples, score, wished):
    """Each swara that has a stroke of its own and is not bent sounds where it is wished, above
    Sa."""
    samples = samples.astype(np.float64)
    strokes = [stroke for stroke in score.strokes if len({c for _, c in stroke.path}) == 1]
    assert len(strokes) == len(wished)
    for stroke, ratio in zip(strokes, wished, strict=True):
        start = round((score.lead_s + stroke.onset_s + AFTER_PLUCK_S) * RATE)
        part = samples[start : start + round(0.4 * RATE)]
        off = off_cents(part, 1200 * np.log2(ratio), score.sa_hz, drone_hz(score))
        assert abs(off) < 3.0, (ratio, off)


def test_a_phrase_is_kept_heard_handed_over_and_set_as_a_question(open_app, tmp_path, played):
    courses = tmp_path / "student" / "courses"
    courses.mkdir(parents=True)
    (courses / "making.toml").write_text(COURSE)
    app = open_app(minutes=5, seed=1, course="making", student_name="Noor", student_id="noor")
    first = app.manager.current_screen
    assert first.ids.phrases.disabled  # there is none yet
    touch(first.ids.begin)
    drill = app._screen("drill")
    wait_for(lambda: drill.stage in ("new", "asking"), what="a question")
    frames(3)
    if drill.stage == "new":
        touch(plate(drill, "Ask me"))
    make(drill, LINE)
    touch(drill.ids.phrase.ids.answer)
    frames(3)
    press(drill, plate(drill, "Keep this phrase"))
    assert plate(drill, "Kept").disabled
    (kept,) = app.practice.phrases()
    touch(drill.ids.leave)
    frames(3)
    touch(plate(drill, "End it"))
    frames(3)

    screen = come_to_phrases(app)
    (row,) = screen.rows
    assert row.made.text == LINE
    assert row.about.startswith("Yaman. Kept on ")
    assert row.wish == kept.wish
    cues = played(app)
    touch(row.ids.plate)
    from practice.phrase_said import sound_of

    check_pitches(cues[0], sound_of(kept), [RATIOS[swara] for swara in ("N,", "R", "R", "S")])
    press(screen, row.ids.says)
    assert {each.kind for each in said_on(row)} <= {"right", ""}
    assert any("comes to rest on Sa" in each.text for each in said_on(row))
    heard = next(each for each in said_on(row) if each.plays)
    press(screen, heard)
    assert len(cues) == 2
    path = hand_over_log(app.practice, tmp_path / "noor.zip", datetime.now(UTC)).path

    teacher = Practice(tmp_path / "teacher", speaker="silence")
    with app_on(teacher, (600, 960)) as desk:
        desk.go("practice")
        set_as_question(desk, path, played)
    teacher.close()


def set_as_question(app, path, played):
    """At the teacher's: from the file to the preview of the question."""
    screen = drop(app, path)
    take(screen)
    app.go("class page")
    screen = come_to(app, "class page")
    (row,) = (row for row in screen.ids.rows.children if getattr(row, "name", "") == "Noor")
    press(screen, row)
    page = come_to(app, "lesson page")
    assert page.ids.phrases.text == "Phrases kept: 1"
    press(page, "phrases")
    screen = app.manager.current_screen
    assert (screen.name, screen.who) == ("student phrases", "Noor")
    (row,) = screen.rows
    assert row.act == "Set as a question"
    cues = played(app)
    touch(row.ids.plate)
    assert len(cues) == 1
    press(screen, row.ids.act)
    assert app.manager.current == "which deck"
    frames(2)
    touch(app.manager.current_screen.ids.new)
    form = app.manager.current_screen
    frames(3)
    assert (form.name, form.kind_words, form.state) == ("question", "Write a phrase", "Kept.")
    assert part_of(form, "sargam").line.ids.field.text == LINE
    assert form.entry["counts"] == ["ornaments"]
    touch(form.ids.preview)
    preview = app.manager.current_screen
    wait_for(lambda: preview.stage in ("new", "asking"), what="the preview")
    frames(3)
    if preview.stage == "new":
        touch(plate(preview, "Ask me"))
        frames(2)
    question = preview._step.question
    assert (question.right, question.answer_on) == ((LINE,), "sargam")
    check_pitches(cues[-1], question.cue, [RATIOS[swara] for swara in ("N,", "R", "R", "S")])
    make(preview, LINE)
    touch(preview.ids.phrase.ids.answer)
    assert preview.verdict == "Right"
    preview.finish()
    frames(2)
    key("escape")
    frames(2)
    assert app.manager.current == "deck"
    key("escape")
    assert app.manager.current == "desk"
    (deck,) = app.practice.given.decks.values()
    assert [entry.cue.sargam for entry in deck.entries] == [LINE]
    with Log.reading(app.practice.folder / "log.sqlite") as log:
        assert not log.notes()  # the teacher's own log has none of it


def test_what_is_let_go_can_be_taken_back_till_the_screen_is_left(open_app):
    app = open_app()
    for minute, line in enumerate(("N, R G", "G m P", "P M G")):
        noted(app, line, minute=minute)
    screen = come_to_phrases(app)
    assert listed(screen) == [("P M G", False), ("G m P", False), ("N, R G", False)]
    middle = row_of(screen, "G m P")
    press(screen, middle.ids.act)
    assert "It is let go." in texts_of(middle)
    assert [each.sargam for each in app.practice.phrases()] == ["P M G", "N, R G"]
    press(screen, middle.ids.act)
    assert "It is let go." not in texts_of(middle)
    assert len(app.practice.phrases()) == 3
    for line in ("N, R G", "P M G"):
        press(screen, row_of(screen, line).ids.act)
    key("z", "ctrl")
    key("z", "ctrl")  # only the last one
    assert [each.sargam for each in app.practice.phrases()] == ["P M G", "G m P"]
    key("escape")
    assert listed(come_to_phrases(app)) == [("P M G", False), ("G m P", False)]
    what = [note.what for note in app.practice._log.notes()]
    assert [what.count(each) for each in (PHRASE, LET_GO, TAKEN_BACK)] == [3, 3, 2]


def test_an_empty_list_says_how_a_phrase_is_kept(open_app):
    app = open_app()
    noted(app, "N, R G", raga="", wish="")
    screen = come_to_phrases(app)
    (row,) = screen.rows
    assert row.ids.says.disabled  # no raga says anything
    assert row.about == "Kept on 28 November 2026, 17:30."
    press(screen, row.ids.act)
    touch(screen.ids.close)
    screen = come_to_phrases(app)
    assert "touch “Keep this phrase” after your answer" in screen.empty
    assert screen.main_thing() is None


def test_by_keys_alone_a_phrase_is_heard_tried_and_let_go(open_app, played):
    app = open_app((1120, 760))
    noted(app, "M P m G R")
    app.go("settings")
    app.go("practice")
    frames(3)
    tab_to(lambda: app.manager.current_screen.ids.phrases.focused)
    key("enter")
    screen = app.manager.current_screen
    frames(3)
    cues = played(app)
    key("enter")  # the first phrase
    assert len(cues) == 1
    (row,) = screen.rows
    length_s = len(cues[0]) / RATE
    for matra, swara in ((0.4, 0), (2.5, 2), (4.6, 4)):  # 72 matras a minute
        screen._followed[1].playing.end_by(time.monotonic() + length_s - matra * 60 / 72)
        wait_for(lambda swara=swara: row.sounding == swara, what="the swara", patience_s=2.0)
        assert row.ids.plate.ids.strip.sounding == swara
    tab_to(lambda: row.ids.says.focused)
    key("enter")
    assert any("not shuddha Ma" in each.text for each in said_on(row))
    tab_to(lambda: any(each.focused for each in said_on(row)))
    key("enter")
    assert len(cues) == 2
    assert row.sounding == -1  # something else sounds
    tab_to(lambda: row.ids.says.focused)
    key("enter")
    assert said_on(row) == []
    tab_to(lambda: row.ids.act.focused)
    key("enter")
    assert row.gone
    assert app.practice.phrases() == ()


def test_where_the_log_cannot_be_written_it_is_told_and_nothing_is_let_go(open_app, monkeypatch):
    app = open_app()
    noted(app, "N, R G")
    screen = come_to_phrases(app)

    def full(*_):
        raise LogError("log.sqlite", wrong="the disk is full", remedy="Make room")

    with monkeypatch.context() as broken:
        broken.setattr(app.practice._log, "append_all", full)
        press(screen, screen.rows[0].ids.act)
    assert "the disk is full" in screen.trouble
    assert not screen.rows[0].gone
    monkeypatch.setattr(app.practice._log, "notes", full)
    app.go("practice")
    app.go("phrases")
    assert "the disk is full" in screen.trouble
    assert (screen.rows, screen.empty) == ([], "")


def test_a_teacher_looks_for_a_deck_and_comes_back_to_the_page(open_app):
    app = open_app(student_name="Mira")
    for minute in range(24):
        noted(app, "N, R G", minute=minute)
    app.practice.shelf.write("broken", "no toml at all")
    app.go("lesson page")
    page = come_to(app, "lesson page")
    before = page.page
    touch(page.ids.phrases)
    key("escape")
    assert app.manager.current == "lesson page"
    assert page.page is before  # all is as it was
    touch(page.ids.phrases)
    screen = app.manager.current_screen
    frames(1)
    assert screen.who == "Mira"
    assert len(screen.rows) < 24  # the others were to follow
    press(screen, screen.rows[0].ids.act)
    which = app.manager.current_screen
    frames(2)
    touch(which.ids.plates.children[0])
    assert "can only be mended in its file" in which.trouble
    assert app.manager.current == "which deck"
    key("escape")
    assert app.manager.current == "student phrases"
    wait_for(lambda: not screen._filling.is_going_on, what="the others")
    assert len(screen.rows) == 24
    key("escape")
    assert come_to(app, "lesson page").page.kept == app.practice.phrases()


@pytest.mark.parametrize(("size", "text_size"), SIGHTS)
def test_all_has_room_and_can_be_touched(open_app, size, text_size):
    app = open_app(size, text_size=text_size, student_name="Mira")
    noted(app, "N, R/ G:3 M~~ D:1/2 N S'^ (N)R'_* N D P:2 {MP} M G R", raga="vrindavani_sarang")
    noted(app, "M P m G R", minute=1)
    noted(app, "S R", raga="", wish="", minute=2)
    screen = come_to_phrases(app)
    for row in screen.rows[1:]:
        row.says = True
    screen.do(screen.rows[1])
    for place in (1.0, 0.5, 0.0):
        screen.ids.roll.scroll_y = place
        frames(4)
        check(screen)
    check_targets(screen)
    app.go("lesson page")
    page = come_to(app, "lesson page")
    check(page)
    page.show_phrases()
    screen = app.manager.current_screen
    frames(4)
    check(screen)
    check_targets(screen)
    press(screen, screen.rows[0].ids.act)
    frames(3)
    check(app.manager.current_screen)
    app.go("practice")
    frames(4)
    check(app.manager.current_screen)
