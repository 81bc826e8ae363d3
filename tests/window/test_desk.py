"""The teacher's desk in the window: a deck is written by touch and keys, asked and edited."""

import errno
import os
import tomllib
import wave
import zipfile
from pathlib import Path

import numpy as np
import pytest

from quizzes.decks.narrowing import answers_of
from tests.window import practising
from tests.window.hands import Finger, frames, key, tab_to, touch, wait_for
from tests.window.written_in import part_of, press, rows_of, strike, type_text, wipe, write

pytestmark = pytest.mark.window

DECKS = Path(__file__).resolve().parents[2] / "assets" / "decks"
COURSE = """\
name = "June"

[[step]]
name = "Gaps"
kinds = ["gap"]
"""
DECK = """\
# A deck that was written by hand.
deck = "by-hand"
name = "By hand"

[[question]]
id = "rest"
kind = "choose-one"
prompt = "Where does it rest?"  # ask it slowly
sargam = "N, R G"
[[question.choice]]
text = "Ga"
right = true
[[question.choice]]
text = "Re"

[[question]]
id = "order"
kind = "put-in-order"
prompt = "In which order?"
things = ["Alap", "Jor", "Jhala"]
[[question.before]]
first = "Jor"
then = "Jhala"

[[question]]
id = "line"
kind = "write-swaras"
prompt = "Write it."
sargam = "S R G"
right = "S R G"
"""
PHRASE_BEGUN = """[[question]]
id = "phrase"
kind = "write-phrase"
prompt = "Write it."
theka = "tintal"
"""


@pytest.fixture
def at_desk(open_app):
    """The app at its desk, come to by touch, with decks by their ids; gives (app, desk)."""

    def open_it(size=(600, 960), **decks):
        app = open_app(size)
        for deck, text in decks.items():
            app.practice.shelf.write(deck.replace("_", "-"), text)
        app.practice.take_given()
        touch(app.manager.current_screen.ids.desk)
        frames(3)
        return app, app.manager.current_screen

    return open_it


def open_deck(app, number=0):
    """Touch a deck of the list; its screen."""
    touch(app.manager.current_screen.ids.rows.children[::-1][number].ids.plate)
    frames(3)
    return app.manager.current_screen


def open_question(app, number):
    """Touch a question of the deck on view; its form."""
    deck = app.manager.current_screen
    press(deck, deck.rows.children[::-1][number].ids.plate)
    frames(3)
    return app.manager.current_screen


def full(*_):
    raise OSError(errno.ENOSPC, "No space left on device")


def on_disk(app):
    """The one deck as its file has it now."""
    (path,) = (app.practice.folder / "decks").glob("*.toml")
    return tomllib.loads(path.read_text("utf-8"))


def begin_part(app, name):
    """On the first screen choose a part of what is asked by its name, and begin."""
    first = app.manager.current_screen
    first.choose_mode("part")
    which = app.manager.current_screen
    wait_for(lambda: not which.waiting, what="all parts")
    plates = which.ids.plates.children
    press(which, next(plate for plate in plates if plate.text == name))
    frames(3)
    return practising.begin(app)


def test_a_deck_is_made_previewed_found_in_the_next_session_and_edited_with_what_was_known_kept(
    at_desk,
):
    app, desk = at_desk()
    touch(desk.ids.new)
    deck = app.manager.current_screen
    press(deck, deck._head[0].lines)  # "A new deck" is marked, and gives way
    type_text("Rests")

    # The first question by touch, its sargam on the keypad.
    touch(deck.ids.add)
    adding = app.manager.current_screen
    press(adding, next(p for p in adding.ids.own.children if p.which == "choose-one"))
    form = app.manager.current_screen
    assert form.ids.preview.disabled
    write(form, part_of(form, "prompt").lines, "Where does it rest?")
    cue = part_of(form, "sargam")
    press(form, next(plate for plate in cue.sources.children if plate.value == "sargam"))
    press(form, cue.line.field)
    strike(form, "N", ",", "R", "G", "-", "R", "S")
    assert cue.line.field.text == "N, R G - R S"
    assert cue.line.field.focus
    touch(form.pad.ids.done)
    for row, text in zip(rows_of(part_of(form, "choice")), ("Ga", "Re"), strict=True):
        write(form, row.ids.text, text)
    # It is in its file as it stands, whatever happens to the app now.
    (question,) = on_disk(app)["question"]
    assert on_disk(app)["name"] == "Rests"
    assert question == {
        "id": "where-does-it-rest",
        "kind": "choose-one",
        "prompt": "Where does it rest?",
        "sargam": "N, R G - R S",
        "choice": [{"text": "Ga", "right": True}, {"text": "Re"}],
    }

    # Preview: asked as a student is, and nothing of it in the log.
    key("escape")
    touch(form.ids.preview)
    preview = app.manager.current_screen
    wait_for(lambda: preview.stage == "new", what="the preview")
    assert preview.time_text == "Preview"
    assert preview._step.question.cue.strokes
    practising.pass_introduction(preview)
    practising.answer(preview)
    assert preview.verdict_mark == "right"
    touch(next(p for p in preview.ids.actions.walk() if getattr(p, "text", "") == "Ask it again"))
    wait_for(lambda: preview.stage == "asking", what="the same question")
    practising.answer(preview, wrong=True)
    touch(practising.main_plate(preview))
    assert app.manager.current_screen is form
    touch(form.ids.preview)
    wait_for(lambda: preview.stage == "new", what="the preview")
    touch(preview.ids.leave)
    assert app.manager.current_screen is form
    assert app.practice.practices() == []

    # One more by keys alone.
    key("escape")
    tab_to(lambda: deck.ids.add.focused)
    key("enter")
    plates = {plate.which: plate for plate in adding.ids.own.children}
    tab_to(lambda: plates["true-or-false"].focused)
    key("enter")
    tab_to(lambda: part_of(form, "prompt").lines.focus)
    type_text("Pa lies above Ma.")
    assert form.is_well
    key("escape")
    key("escape")
    assert [row.text for row in deck.rows.children[::-1]] == [
        "Where does it rest?",
        "Pa lies above Ma.",
    ]

    # Found in the next session.
    key("escape")
    key("escape")
    drill = begin_part(app, "Rests")
    asked = {}
    for _ in range(2):
        practising.pass_introduction(drill)
        question, _ = practising.answer(drill)
        asked[question.prompt] = question.skill
        if len(asked) < 2:
            touch(practising.main_plate(drill))
            wait_for(lambda: drill.stage in ("new", "asking"), what="the next question")
            frames(3)
    deck_id = on_disk(app)["deck"]
    assert asked["Where does it rest?"] == f"deck:{deck_id}:where-does-it-rest"
    practising.leave(app, drill)
    app.go("desk")
    known = dict(app.practice._memory.beliefs)
    assert set(asked.values()) <= known.keys()

    # Edited: another prompt is the same question still, and what was known of it is kept.
    frames(3)
    open_deck(app)
    form = open_question(app, 0)
    write(form, part_of(form, "prompt").lines, " Listen.")
    key("escape")
    for _ in range(3):
        key("escape")
    assert app.manager.current == "practice"
    assert on_disk(app)["question"][0]["prompt"] == "Where does it rest? Listen."
    skill = asked["Where does it rest?"]
    assert app.practice._memory.beliefs[skill] == known[skill]
    assert skill in {item.skill for item in app.practice._items}
    assert app.practice.given.name_of(skill) == "Where does it rest? Listen."


def test_faults_are_seen_at_their_field_while_it_is_written_and_every_step_is_undone(at_desk):
    app, desk = at_desk(by_hand=DECK)
    deck = open_deck(app)
    form = open_question(app, 0)
    cue = part_of(form, "sargam")
    write(form, cue.line.field, " X")
    assert (cue.line.field.fault_at, cue.line.field.text[7]) == (7, "X")
    assert cue.line.field.fault.startswith("'X' is not a swara")
    assert not form.is_well
    assert form.ids.preview.disabled
    key("backspace")
    assert cue.line.field.fault == ""
    assert form.is_well
    key("escape")
    rows = rows_of(part_of(form, "choice"))
    press(form, rows[0].ids.text)
    wipe(rows[0].ids.text)
    assert rows[0].ids.text_fault.text == "Still to be written."
    assert not rows[1].ids.text_fault.text
    key("escape")
    key("escape")
    assert [bool(row.fault) for row in deck.rows.children[::-1]] == [True, False, False]
    assert deck.ids.hand_over.disabled
    # Undone by the keyboard and by touch, to the last letter of the file, with its comments.
    while deck.can_undo:
        key("z", "ctrl")
    (path,) = (app.practice.folder / "decks").glob("*.toml")
    assert path.read_text("utf-8") == DECK
    key("z", "ctrl", "shift")
    assert path.read_text("utf-8") != DECK
    touch(deck.ids.bar.ids.undo)
    assert path.read_text("utf-8") == DECK
    assert not any(row.fault for row in deck.rows.children)
    # Wherever else a fault is told, it is in the words of the form.
    path.write_text(DECK.replace('text = "Ga"', 'text = ""'), "utf-8")
    key("escape")
    left, place = "One thing still to write.", "Question 1, answer 1: still to be written."
    assert desk.ids.rows.children[0].fault == f"{left} Until then it is not asked.\n{place}"
    key("escape")
    told = app.manager.current_screen.troubles
    assert told == f"“By hand”, on the desk, is not asked yet. {left}\n{place}"


def test_questions_are_dragged_moved_by_keys_copied_and_removed(at_desk):
    app, _ = at_desk(by_hand=DECK)
    deck = open_deck(app)
    ids = lambda: [question["id"] for question in on_disk(app)["question"]]  # noqa: E731
    rows = deck.rows.children[::-1]
    held = Finger(*rows[0].ids.grip.to_window(*rows[0].ids.grip.center)).go_down()
    frames(1)
    x, y = rows[2].ids.grip.to_window(*rows[2].ids.grip.center)
    held.slide_to(x, y - 8)
    frames(1)
    held.come_up()
    frames(2)
    assert ids() == ["order", "line", "rest"]
    tab_to(lambda: rows[2].ids.grip.focused)
    key("up")
    key("up")
    assert ids() == ["rest", "order", "line"]
    assert rows[0].ids.grip.focused
    press(deck, rows[1].ids.more)
    press(deck, rows[1].actions.ids.again)
    assert ids() == ["rest", "order", "order-2", "line"]
    press(deck, rows[0].ids.more)
    press(deck, rows[0].actions.ids.away)
    assert ids() == ["order", "order-2", "line"]
    # The things of an order are carried in the same way.
    form = open_question(app, 0)
    things = part_of(form, "things")
    tab_to(lambda: rows_of(things)[0].ids.grip.focused)
    key("down")
    assert on_disk(app)["question"][0]["things"] == ["Jor", "Alap", "Jhala"]
    assert rows_of(things)[1].ids.grip.focused
    # A thing that is called otherwise is so in its pairs, in one step.
    before = on_disk(app)["question"][0]
    write(form, rows_of(things)[0].ids.text, "!")
    renamed = on_disk(app)["question"][0]
    assert renamed["things"] == ["Jor!", "Alap", "Jhala"]
    assert renamed["before"] == [{"first": "Jor!", "then": "Jhala"}]
    assert form.is_well
    key("z", "ctrl")
    assert on_disk(app)["question"][0] == before

    # Where nothing can be written that is told, and told again before anything is lost.
    key("escape")  # out of the field
    key("escape")
    assert app.manager.current_screen is deck
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("practice.staging.os.fsync", full)
        deck.ids.name.children[0].change(name="Mine")
        assert "No space left on device; see that there is room" in deck.trouble
        key("escape")
        assert app.manager.current_screen is deck
        assert deck.trouble.endswith("Go back once more, and it is lost.")
        assert on_disk(app)["name"] == "By hand"
    key("escape")
    assert app.manager.current == "desk"
    assert on_disk(app)["name"] == "Mine"


def test_what_arrives_is_shown_first_and_taken_or_left_whole(at_desk, tmp_path):
    from kivy.core.window import Window

    app, desk = at_desk((1120, 760))
    arriving = tmp_path / "by-hand.toml"
    arriving.write_text(DECK.replace('"N, R G"', '"N, X"').replace('"Alap", ', "7, "), "utf-8")
    Window.dispatch("on_drop_file", str(arriving).encode(), 0, 0)
    frames(3)
    screen = app.manager.current_screen
    told = [words.text for words in screen.ids.told.walk() if getattr(words, "text", "")]
    assert screen.ids.take.disabled
    assert any("by-hand.toml, line 9: sargam" in text for text in told)
    assert any("by-hand.toml, line 20: things" in text for text in told)
    touch(screen.ids.leave)
    assert app.manager.current_screen is desk
    assert desk.decks == 0

    # Mended, it is found with the chooser, which shows what can be brought in and no more.
    arriving.write_text(DECK, "utf-8")
    (tmp_path / "other.txt").write_text("", "utf-8")
    (tmp_path / os.fsdecode(b"bytes-\xff")).mkdir()  # a name that no font can be asked for
    touch(desk.ids.bring)
    chooser = app.manager.current_screen
    chooser.files.path = str(tmp_path)
    frames(3)
    files = [plate for plate in chooser.ids.column.children if not plate.is_folder]
    assert [plate.text for plate in files] == ["by-hand.toml"]
    press(chooser, files[0])
    assert app.manager.current_screen is screen
    frames(3)
    touch(screen.ids.take)
    assert desk.decks == 1
    assert app.practice.given.decks.keys() == {"by-hand"}
    (row,) = desk.ids.rows.children
    assert row.about == "Three questions."
    assert desk.done == "By hand is here. Its questions come first in the next practice."

    # Removed once that was asked, and put back.
    for plate in (row.ids.more, row.ids.away):
        touch(plate)
    touch(desk.lies_over.main)  # it is kept
    assert (desk.lies_over, desk.decks) == (None, 1)
    touch(row.ids.away)
    touch(desk.lies_over.ids.ways.children[-1])
    assert desk.decks == 0
    assert not app.practice.given.decks
    touch(desk.ids.toast.ids.act)
    assert app.practice.given.decks.keys() == {"by-hand"}

    # A sheet adds to it, after a dry run; it is handed over into a folder that is chosen.
    deck = open_deck(app)
    sheet = tmp_path / "more.csv"
    sheet.write_text("prompt,right,wrong\nWhich is higher?,Pa,Ma\n", "utf-8")
    Window.dispatch("on_drop_file", str(sheet).encode(), 0, 0)
    frames(3)
    assert len(on_disk(app)["question"]) == 3
    touch(screen.ids.take)
    assert len(on_disk(app)["question"]) == 4
    press(deck, "hand_over")
    chooser = app.manager.current_screen
    chooser.files.path = str(tmp_path)
    frames(3)
    assert chooser.title == "Where by-hand.zip is to be written"
    touch(chooser.ids.accept)
    with zipfile.ZipFile(tmp_path / "by-hand.zip") as bundle:
        assert bundle.namelist() == ["decks/by-hand.toml"]
    assert "by-hand.zip" in deck.done
    key("escape")  # puts by what was said, and only then leads back
    assert (deck.done, app.manager.current) == ("", "deck")
    key("escape")
    assert desk.ids.rows.children[0].about == "Four questions. Handed over as it is."

    # A course that comes in is taken with one touch more.
    bundle = tmp_path / "course.zip"
    with zipfile.ZipFile(bundle, "w") as file:
        file.writestr("courses/june.toml", COURSE)
    Window.dispatch("on_drop_file", str(bundle).encode(), 0, 0)
    assert (screen.title, screen.ids.take.disabled) == ("Being looked at …", True)
    frames(3)
    touch(screen.ids.take)
    frames(2)
    assert app.practice.settings.course != "june"
    assert screen.take_words == "Take this course here"
    touch(screen.ids.take)
    assert app.practice.settings.course == app.practice.course.id == "june"
    assert desk.done == "The course “June” is taken here."

    # A file that was put among the decks by hand, under a name that no deck has, is listed too.
    (app.practice.folder / "decks" / "My own.toml").write_text(DECK, "utf-8")
    desk.show()
    assert desk.decks == 2
    assert "rename it to by-hand.toml" in desk.ids.rows.children[1].fault


def test_an_example_is_copied_with_one_touch_and_the_copy_is_the_teachers_own(at_desk):
    app, desk = at_desk()
    plate = next(p for p in desk.ids.examples.children if p.text == "First gaps")
    press(desk, plate)
    deck = app.manager.current_screen
    assert deck.is_well
    copied = on_disk(app)
    assert copied["deck"].startswith("first-gaps-")
    assert "by" not in copied
    shipped = tomllib.loads((DECKS / "first-gaps.toml").read_text("utf-8"))
    assert copied["question"] == shipped["question"]
    names = [row.text for row in deck.rows.children[::-1]]
    assert names == [question["name"] for question in shipped["question"]]


def test_a_kind_of_kaan_is_narrowed_by_ticks_that_are_searched(at_desk):
    app, desk = at_desk()
    touch(desk.ids.new)
    deck = app.manager.current_screen
    touch(deck.ids.add)
    adding = app.manager.current_screen
    press(adding, next(p for p in adding.ids.kinds.children if p.which == "gap"))
    form = app.manager.current_screen
    asked = part_of(form, "skills").ticks
    assert len(asked.ticked) == len(asked.options)
    touch(asked.none)
    write(form, asked.search, "Re Pa down")
    touch(asked.plates.children[-1])
    frames(2)
    (question,) = on_disk(app)["question"]
    assert question["skills"] == ["gap:R-P:down"]
    assert form.is_well

    # Of its answers some alone are offered.
    offered = part_of(form, "among")
    press(form, offered.plate)
    plates = {plate.key: plate for plate in offered._ticks.plates.children}
    assert set(plates) == {choice.id for choice in answers_of("gap:R-P:down")}
    press(form, plates["R-P"])
    assert offered.fault == "Only one is ticked, and there is nothing to choose: tick another."
    press(form, next(plate for key, plate in plates.items() if key != "R-P"))
    assert form.is_well
    assert len(on_disk(app)["question"][0]["among"]) == 2

    # By what it asks it is known in the list; the deck says how it sounds.
    key("escape")
    assert deck.rows.children[0].text == "Pa down to Re"
    sounds = deck._head[-1]
    press(deck, sounds.plate)
    press(deck, next(p for p in sounds.inside[2].row.children if p.value == "string"))
    assert on_disk(app)["voice"] == "string"
    assert deck.is_well


def test_a_question_sounds_a_recording_or_a_theka_and_what_sounded_before_is_undone(
    at_desk, tmp_path
):
    from kivy.core.window import Window

    app, _ = at_desk(by_hand=DECK)
    open_deck(app)
    form = open_question(app, 0)
    cue = part_of(form, "sargam")
    told = tmp_path / "bell.wav"
    with wave.open(str(told), "wb") as file:
        file.setparams((1, 2, 44_100, 0, "NONE", ""))
        tone = 12_000 * np.sin(np.arange(66_150) * 0.05)
        file.writeframes(tone.astype("<i2").tobytes())
    press(form, next(plate for plate in cue.sources.children if plate.value == "recording"))
    Window.dispatch("on_drop_file", str(told).encode(), 0, 0)
    frames(2)
    (kept,) = (app.practice.folder / "recordings").iterdir()
    asked = on_disk(app)["question"][0]
    assert asked["recording"] == kept.name == cue.recording.name
    assert "sargam" not in asked
    assert form.is_well
    press(form, cue.recording.ids.hear)
    assert form.trouble == ""
    assert form.sounding
    touch(form.ids.stop)
    assert not form.sounding
    frames(2)
    assert form.ids.preview.x == form.ids.parts.x
    press(form, next(plate for plate in cue.sources.children if plate.value == "theka"))
    assert (cue.fault, form.is_well) == ("Choose a tala, or Nothing.", False)
    press(form, cue.theka.ids.picked._plate)
    picked = cue.theka.ids.picked
    press(form, next(plate for plate in picked._row.children if plate.value == "tintal"))
    touch(cue.theka.ids.hear)
    assert form.trouble == ""
    assert on_disk(app)["question"][0]["theka"] == "tintal"
    while form.can_undo:
        key("z", "ctrl")
    assert cue.line.field.text == "N, R G"
    # What is no sound is told, and changes nothing.
    (tmp_path / "text.mp3").write_text("no sound", "utf-8")
    Window.dispatch("on_drop_file", str(tmp_path / "text.mp3").encode(), 0, 0)
    assert "text.mp3" in form.trouble
    assert on_disk(app)["question"][0]["sargam"] == "N, R G"

    # A deck beside its recording is taken in once that was seen to be said; till then it can be
    # left.
    bells = tmp_path / "bells.toml"
    asked = DECK.replace('"by-hand"', '"bells"').replace(
        'sargam = "N, R G"', 'recording = "bell.wav"'
    )
    bells.write_text(asked, "utf-8")
    for left in (True, False):
        Window.dispatch("on_drop_file", str(bells).encode(), 0, 0)
        frames(3)
        screen = app.manager.current_screen
        screen.take()
        assert screen.title == "Being taken in …"
        if left:
            screen.back()
        frames(3)
        assert app.manager.current == "desk"
        assert ("bells" in app.practice.given.decks) is not left


def test_a_form_shows_fields_of_the_wrong_sort_and_each_can_be_mended(at_desk):
    wrong = DECK.replace('prompt = "Where does it rest?"', "prompt = 5\ncycles = true\ntempo = []")
    wrong = wrong.replace('things = ["Alap", "Jor", "Jhala"]', "things = 7\nshade = [[1]]")
    app, _ = at_desk(by_hand=wrong.replace('right = "S R G"', "right = [{ a = 1 }]"))
    open_deck(app)
    form = open_question(app, 0)
    assert part_of(form, "prompt").fault.startswith("5 is no text")
    key("escape")
    form = open_question(app, 1)
    press(form, form.ids.stray.children[0])
    assert "shade" not in on_disk(app)["question"][1]
    assert part_of(form, "things").fault
    key("escape")
    form = open_question(app, 2)
    (row,) = rows_of(part_of(form, "right"))
    assert row.ids.line.told_of
    press(form, row.ids.line.field)
    wipe(row.ids.line.field)
    type_text("S R G")
    assert form.is_well


def test_a_phrase_to_be_written_is_made_in_its_form_and_asked(at_desk):
    begun = DECK.partition("[[question]]")[0] + PHRASE_BEGUN
    app, _ = at_desk(by_hand=begun)
    open_deck(app)
    form = open_question(app, 0)
    cue, counts = part_of(form, "sargam"), part_of(form, "counts")
    press(form, form.ids.stray.children[0])  # no theka can be written
    assert cue.line.told_of == "Still to be written."
    assert form.ids.preview.disabled
    write(form, cue.line.field, "N, R/ G - R S")
    assert form.is_well
    key("escape")
    for word, then in (("ornaments", ["ornaments"]), ("lengths", ["lengths", "ornaments"])):
        press(form, counts.plates[word])
        assert counts.plates[word].chosen
        assert on_disk(app)["question"][0]["counts"] == then
    press(form, counts.plates["ornaments"])
    (kept,) = on_disk(app)["question"]
    assert (kept["sargam"], kept["counts"], kept.get("theka")) == (
        "N, R/ G - R S",
        ["lengths"],
        None,
    )
    touch(form.ids.preview)
    preview = app.manager.current_screen
    wait_for(lambda: preview.stage == "new", what="the preview")
    question = preview._step.question
    assert question.right == ("N, R/ G - R S",)
    assert question.signs == ("saptaks", "lengths")
    practising.pass_introduction(preview)
    preview.give("N, R G:2 R S:3")  # the same in other signs; what the hand does does not count
    assert preview.verdict_mark == "right"
