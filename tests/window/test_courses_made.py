"""A course is made by touch: ticked, dragged into order, paced, taken, and handed over."""

import zipfile

import pytest

from practice import Practice
from tests.window.hands import Finger, frames, key, tab_to, touch, wait_for

pytestmark = pytest.mark.window

DECK = """
deck = "first-gaps"
name = "First gaps"
[[question]]
id = "rest-on-ga"
kind = "choose-one"
prompt = "On which swara does the phrase rest?"
  [[question.choice]]
  text = "Ga"
  right = true
  [[question.choice]]
  text = "Re"
"""


@pytest.fixture
def courses_of(open_app):
    """The list of courses of an app that has one deck, come to by touch."""

    def open_it(size=(600, 960)):
        app = open_app(size)
        app.practice.shelf.write("first-gaps", DECK)
        app.practice.take_given()
        touch(app.manager.current_screen.ids.desk)
        frames(4)
        press(app.manager.current_screen, "courses", on_view(app, "courses"))
        wait_for(lambda: app.manager.current_screen.ids.shipped.children, what="the courses")
        frames(4)
        return app

    return open_it


def press(screen, name, until=lambda: True):
    """Bring a thing of a screen on view, as a finger would, and touch it; a roll hands a short
    touch on a moment later, so wait until something holds."""
    thing = name if not isinstance(name, str) else screen.ids[name]
    parent = thing.parent
    while parent is not screen:
        if hasattr(parent, "scroll_to") and parent.viewport_size[1] > parent.height:
            parent.scroll_to(thing, padding=80, animate=False)
            frames(6)
            break
        parent = parent.parent
    touch(thing)
    wait_for(until, what=f"what {getattr(thing, 'text', thing)} does")
    frames(4)


def on_view(app, name):
    return lambda: app.manager.current == name


def write(field, text):
    touch(field)
    for letter in text:
        field.insert_text(letter)
    frames(4)


def tick(adding, field, words):
    """Touch a sort, look for a name, and tick what is found first."""
    sort = next(p for p in adding.ids.sorts.children if p.value == field)
    press(adding, sort, lambda: adding.field == field)
    (part,) = adding.ids.part.children
    write(part.ticks.search, words)
    press(adding, part.ticks.plates.children[-1], lambda: part.ticks.ticked)


def drag(course, at, to):
    """Drag the grip of one step to where another stands, or beyond it."""
    rows = course.rows.children[::-1]
    grip, there = rows[at].ids.grip, rows[to]
    held = Finger(*grip.to_window(*grip.center)).go_down()
    frames(1)
    y = there.to_window(*there.center)[1] + (10 if to < at else -10)
    held.slide_to(grip.to_window(*grip.center)[0], y)
    frames(1)
    held.come_up()
    frames(4)


def made(app):
    """Touch all that makes a course of a raga, a kind and a deck; its screen."""
    touch(app.manager.current_screen.ids.new)
    frames(4)
    course = app.manager.current_screen
    touch(course.ids.add)
    frames(4)
    adding = app.manager.current_screen
    tick(adding, "ragas", "yaman")
    tick(adding, "kinds", "which gap")
    tick(adding, "decks", "")
    assert adding.words == "Yaman, Gaps and First gaps"
    touch(adding.ids.add)
    frames(4)
    assert app.manager.current_screen is course
    return course


def names(course):
    return [row.text for row in course.rows.children[::-1]]


def test_a_course_is_ticked_dragged_into_order_paced_taken_and_asked(courses_of):
    app = courses_of()
    course = made(app)
    assert names(course) == ["Yaman", "Gaps", "First gaps"]
    drag(course, 2, 0)
    assert names(course) == ["First gaps", "Yaman", "Gaps"]
    touch(course.ids.bar.ids.undo)
    assert names(course) == ["Yaman", "Gaps", "First gaps"]
    touch(course.ids.bar.ids.redo)
    assert names(course) == ["First gaps", "Yaman", "Gaps"]
    for pace in (1, 2):
        more = course.ids.pace.children[0]
        press(course, more, lambda pace=pace: course.editing.head.get("pace") == pace)
    assert course.state.endswith("weeks of practice at 2 new a day")
    press(course, "take", lambda: course.taken_words)

    practice = app.practice
    assert practice.course.name == "A new course"
    ids = [item.skill for item in practice.modes().items]
    assert ids[0] == "deck:first-gaps:rest-on-ga"
    assert ids[1] == "raga-from-phrase:note:yaman"
    assert ids[-1].startswith("gap:")
    assert practice.outlook(15).counts == "2 new"
    again = Practice(practice.folder, speaker="silence")  # as at the next start
    assert [item.skill for item in again.modes().items] == ids
    again.close()


def test_a_step_is_narrowed_renamed_and_moved_by_keys_and_goes_out_with_its_deck(
    courses_of, tmp_path
):
    app = courses_of((1120, 760))
    course = made(app)
    press(course, course.rows.children[::-1][0].ids.plate, on_view(app, "course step"))
    step = app.manager.current_screen
    named = next(p for p in step.ids.ways.children if p.value == "named")
    press(step, named, lambda: "ask" in step.step)
    assert step.state == "1 skill, met here first."
    write(step.name_part.lines, " by name")
    press(step, step.ids.bar.ids.back, on_view(app, "course"))
    assert names(course)[0] == "Yaman by name"
    grip = course.rows.children[::-1][0].ids.grip
    tab_to(lambda: grip.focused)
    key("down")
    key("down")
    assert names(course) == ["Gaps", "First gaps", "Yaman by name"]
    press(course, course.rows.children[::-1][0].ids.away, lambda: len(names(course)) == 2)
    assert names(course) == ["First gaps", "Yaman by name"]
    press(course, "hand_over", on_view(app, "chooser"))
    chooser = app.manager.current_screen
    chooser.files.path = str(tmp_path)
    frames(4)
    press(chooser, "accept", on_view(app, "course"))
    assert course.done.startswith("Handed over.")
    (path,) = tmp_path.glob("a-new-course.zip")
    with zipfile.ZipFile(path) as file:
        held = file.namelist()
        assert sorted(held) == [f"courses/{course.editing.id}.toml", "decks/first-gaps.toml"]
        text = file.read(f"courses/{course.editing.id}.toml").decode()
    lying = app.practice.folder / "courses" / f"{course.editing.id}.toml"
    assert text == lying.read_text(encoding="utf-8")


def test_a_shipped_course_is_copied_and_a_course_that_was_removed_is_put_back(courses_of):
    app = courses_of()
    listing = app.manager.current_screen
    shipped = listing.ids.shipped.children
    how = next(row for row in shipped if row.text == "How a performance unfolds")
    press(listing, how, on_view(app, "course look"))
    press(app.manager.current_screen, "copy", on_view(app, "course"))
    course = app.manager.current_screen
    assert course.title == "How a performance unfolds, our own"
    assert len(names(course)) == 25
    key("escape")
    wait_for(lambda: listing.ids.rows.children, what="the courses")
    frames(4)
    (row,) = listing.ids.rows.children
    press(listing, row.ids.more, lambda: row.more)
    press(listing, row.ids.away, lambda: listing.lies_over is not None)
    press(listing, listing.lies_over.ids.ways.children[-1], lambda: listing.own == 0)
    press(listing, listing.ids.toast.ids.act, lambda: listing.own == 1)
