"""A phrase is made by touch and by the keyboard, heard, mended, sent, and told place by place."""

import time

import pytest
from kivy.core.window import Window

from audio.speakers import Playing
from audio.tuning import Swara
from practice.own_line import own_score
from quizzes import KINDS
from scheduler import SchedulerError
from screens.beside import NOTHING, _cell
from screens.look import look
from screens.phrase import Phrase
from screens.phrase_pad import TO_CHANGE
from tests.window.hands import (
    Finger,
    frames,
    key,
    slide,
    tab_to,
    touch,
    touch_at,
    touch_fret,
    wait_for,
)
from tests.window.phrases import make, pad_key, type_out
from tests.window.scripted import step
from tests.window.test_drill import plate
from tests.window.test_room import check, check_targets

pytestmark = pytest.mark.window

MET = tuple(f"swara:{letter}" for letter in "SRGmPDN")
PLAIN, ALL = step("write:swaras:5", met=MET), step("write:all:8", met=MET)
BROKEN = "M P m G R S"
MADE, SHADED = step("raga-make:meend:yaman"), step("make:loudness")
LINE = "N R G/ P"
SIGHTS = [(size, text) for size in ((600, 960), (1120, 760)) for text in ("usual", "largest")]


def tool(drill, name):
    return drill.ids.phrase.ids[name]


def line_of(drill):
    return drill.ids.phrase.phrase.text


def test_four_swaras_and_a_meend_are_made_on_the_string_and_sent(ask):
    drill, session = ask(ALL)
    string = drill.ids.phrase_string
    touch_fret(string, "N")
    touch_fret(string, "R")
    slide(string, "G", "P")
    assert line_of(drill) == LINE
    assert session.own == ["N", "R", "G", "G/ P"]  # each as it is touched
    touch(tool(drill, "hear"))
    assert session.own[-1] == LINE
    assert session.played == 1  # the cue was heard no more for it
    touch(tool(drill, "answer"))
    assert session.given == [LINE]
    assert drill.stage == "answered"


def test_the_keyboard_writes_what_touch_makes(ask):
    line = "S R/ G P:2 N,:1/2 S' . m"
    drill, session = ask(ALL, ALL)
    type_out(line)
    assert Phrase.read(line_of(drill)).items == Phrase.read(line).items
    key("enter")
    assert len(session.given) == 1
    touch(drill.main_thing())
    frames(2)
    make(drill, "S R/ G P:2 N,:1/2 S'")
    touch(pad_key(drill, "lengths", "."))
    see = pad_key(drill, "swaras", "m")
    touch(see)
    touch(tool(drill, "answer"))
    assert session.given[0] == session.given[1]


def test_everything_can_be_done_by_walking_with_the_keys(ask):
    drill, session = ask(ALL)
    pad = drill.ids.phrase
    string = drill.ids.phrase_string
    key("down")  # upright, the string lies from above to below
    assert string.focused
    key("down")
    key("enter")
    assert line_of(drill) == "R"
    tab_to(lambda: pad.ids.strip.focused)
    key("G")
    key("left")
    assert pad.phrase.at == 0
    key("3")
    key("right")
    assert line_of(drill) == "R - - G"
    tab_to(lambda: next((t for t in pad.ids.tabs.children if t.focused), None) is not None)
    tab_to(lambda: next(t.focused for t in pad.ids.tabs.children if t.group == "hands"))
    key("enter")
    tab_to(lambda: any(p.focused and p.key.id == "gamak" for p in pad.ids.grid.children))
    key("enter")
    assert line_of(drill) == "R - - G~~"
    key("h")
    assert session.own[-1] == "R - - G~~"
    for letter in "mP":
        key(letter)
    key("enter")
    assert session.given == ["R - - G~~ m P"]


TYPED = {
    "(R)S": "(R)S",
    "(RSN,)S": "(RSN,)S",
    "{SR}^": "{SR}",
    "{PS}": "P",
    "S//m": "S// m",
    "S<R>S": "S< R> S",
    "r": "",
    "sp": "S P",
    "S~~": "S~~",
    "S--R1": "S - - R",
}
"""Keys, and the line that they write where nothing is asked of strokes."""


def test_signs_are_typed_as_sargam_is_written(ask):
    drill, _ = ask(ALL)
    written = {}
    for typed in TYPED:
        for sign in typed:
            key(sign)
        written[typed] = line_of(drill)
        drill.ids.phrase.clear()
    assert written == TYPED


def test_a_swara_is_chosen_and_mended_in_the_middle(ask):
    drill, _ = ask(ALL)
    pad = drill.ids.phrase
    make(drill, "S R G m")
    x, y, broad, high = pad.ids.strip.box_of(1)
    touch_at(*pad.ids.strip.to_window(x + broad / 2, y + high / 2))
    touch(pad_key(drill, "lengths", "length 2"))
    assert line_of(drill) == "S R - G m"
    touch(pad_key(drill, "hands", "meend"))
    touch(pad_key(drill, "swaras", "'"))
    assert line_of(drill) == "S R' - G m"  # a meend so far cannot be
    touch(tool(drill, "back"))
    assert line_of(drill) == "S G m"
    touch(tool(drill, "empty"))
    assert line_of(drill) == ""
    touch(tool(drill, "back"))
    assert line_of(drill) == "S G m"


def test_a_phrase_that_is_told_is_what_it_begins_with(ask):
    drill, _ = ask(SHADED)
    told = SHADED.question.told
    assert drill.ids.phrase.phrase.items == Phrase.read(told).items
    touch(pad_key(drill, "shades", "softer"))
    key("*")
    assert line_of(drill) != told
    touch(tool(drill, "empty"))
    assert drill.ids.phrase.phrase.items == Phrase.read(told).items


def test_a_finger_may_slip_and_a_second_one_does_nothing(ask):
    drill, _ = ask(ALL)
    string = drill.ids.phrase_string
    first = Finger(*string.to_window(*string.middle_of("R"))).go_down()
    second = Finger(*string.to_window(*string.middle_of("D"))).go_down()
    first.slide_to(string.right + 60, string.to_window(*string.middle_of("R"))[1])
    second.come_up()
    first.come_up()
    frames(2)
    assert line_of(drill) == "R"
    slide(string, "S", "P")  # seven semitones: no meend
    assert line_of(drill) == "R S/ m"
    assert "five semitones at most" in drill.ids.phrase.said
    touch_fret(string, "P")
    assert line_of(drill) == "R S/ m P"
    assert "semitones" not in drill.ids.phrase.said


def test_the_string_ends_where_that_of_a_sitar_does(ask):
    drill, _ = ask(ALL)  # from mandra Ma to tar Pa, common practice
    offered = [Swara.read(text).steps for text in drill.ids.phrase_string.choices]
    assert (min(offered), max(offered)) == (-7, 19)


def test_what_was_said_of_one_phrase_is_not_said_of_the_next(ask):
    drill, _ = ask(ALL, SHADED, ALL)
    for begun in (TO_CHANGE, "Touch the string, or slide."):
        type_out("S R S R S")
        for sign in ",,":
            key(sign)
        if begun == TO_CHANGE:
            assert drill.ids.phrase.said == "There is no further saptak."
        else:
            key("*")
        key("enter")
        frames(2)
        touch(drill.main_thing())
        frames(2)
        assert drill.ids.phrase.said == begun


def test_a_letter_that_is_not_offered_takes_its_signs_with_it(ask):
    drill, _ = ask(ALL)
    for sign in "Sd,^2":
        key(sign)
    assert line_of(drill) == "S"
    assert drill.ids.phrase.said == "d is not among the swaras."
    for sign in "R,":
        key(sign)
    assert line_of(drill) == "S R,"


@pytest.mark.parametrize(
    ("asked", "group", "change"),
    [(SHADED, "shades", "softer"), (step("make:timing"), "lengths", "length 2")],
)
def test_where_one_thing_is_to_vary_its_keys_are_on_view_and_no_swara_can_be_lost(
    ask, asked, group, change
):
    drill, session = ask(asked)
    pad, told = drill.ids.phrase, asked.question.told
    assert (pad.group, pad.phrase.at, pad.said) == (group, 0, TO_CHANGE)
    assert tool(drill, "answer").disabled
    key("enter")
    assert not session.given
    key("right")
    touch(pad_key(drill, group, change))
    changed = line_of(drill)
    assert (pad.phrase.at, changed != told) == (1, True)
    assert not tool(drill, "answer").disabled
    touch_fret(drill.ids.phrase_string, "P")
    assert line_of(drill) == changed
    touch(tool(drill, "back"))
    assert pad.phrase.items == Phrase.read(told).items
    assert tool(drill, "back").disabled


def test_where_no_ornament_counts_a_slide_takes_the_swara_along(ask):
    drill, _ = ask(PLAIN)
    slide(drill.ids.phrase_string, "S", "R", "G")
    assert line_of(drill) == "G"


def test_it_is_sent_only_once_there_are_enough_and_there_is_room_for_so_many(ask):
    drill, session = ask(PLAIN, PLAIN)
    fewest, places = PLAIN.question.fewest, PLAIN.question.places
    for _ in range(fewest):
        key("enter")
        assert tool(drill, "answer").disabled
        assert not session.given
        key("S")
    key("enter")
    assert session.given == [" ".join(["S"] * fewest)]
    touch(drill.main_thing())
    frames(2)
    for _ in range(places + 1):
        touch_fret(drill.ids.phrase_string, "S")
    key("P")
    assert drill.ids.phrase.phrase.count == places
    assert "no room for more" in drill.ids.phrase.said


def test_touches_keep_silent_while_the_cue_is_listened_to(ask):
    drill, session = ask(ALL)
    session.playing = Playing(1e12)  # sounds on and on
    touch(plate(drill, "Listen again"))
    make(drill, "S R")
    assert session.own == []
    touch(tool(drill, "hear"))
    assert session.own == ["S R"]


def test_the_swara_that_sounds_is_shown_until_something_changes(ask):
    drill, session = ask(ALL)
    make(drill, "S R/ G m:2")
    strip = drill.ids.phrase.ids.strip
    assert strip.sounding == -1
    matra_s = 60 / ALL.question.detail["tempo"]
    length_s = session.seconds_of(own_score(ALL.question, line_of(drill)))
    for matras, shown in ((0.5, 0), (2.5, 2), (4.5, 3)):
        session.playing = Playing(time.monotonic() + length_s - matras * matra_s)
        touch(tool(drill, "hear"))
        wait_for(lambda shown=shown: strip.sounding == shown, what=f"swara {shown}")
    key("R")
    wait_for(lambda: strip.sounding == -1, what="its end")


def test_half_a_phrase_outlives_turning_the_tablet_and_leaving_it_for_a_while(ask):
    drill, _ = ask(ALL)
    make(drill, LINE)
    chosen = drill.ids.phrase.phrase
    for size in ((960, 600), (700, 1000), (1120, 760)):
        Window.size = size
        frames(6)
        assert drill.ids.phrase.phrase == chosen
        check(drill)
    for _ in range(2):  # nor does who thinks of leaving, and stays, lose it
        touch(drill.ids.leave)
    slide(drill.ids.phrase_string, "D", "P")
    assert line_of(drill) == "N R G/ P D\\ P"


@pytest.mark.parametrize(("size", "text_size"), SIGHTS)
def test_all_has_room_and_can_be_touched(ask, size, text_size):
    drill, _ = ask(ALL, MADE, size=size, text_size=text_size)
    drill._on_keep = lambda question, given: None
    for group in ("swaras", "lengths", "hands"):
        drill.ids.phrase.group = group
        frames(4)
        # The prompt is on view as a whole: what is wished stands at its end.
        assert drill.ids.words.height <= drill.ids.roll.height + 2
        check(drill)
        check_targets(drill)
    for line in ("S R G m P D N S", BROKEN):
        type_out(line)
        frames(4)
        check(drill)
        key("enter")
        frames(4)
        for place in (1.0, 0.0):
            drill.ids.roll.scroll_y = place
            frames(3)
            check(drill)
            check_targets(drill)
        touch(drill.main_thing())
        frames(4)


def test_left_handed_the_string_and_answer_lie_on_the_left(ask):
    drill, _ = ask(ALL, left_handed=True)
    pad = drill.ids.phrase
    assert drill.ids.phrase_string.x == 0
    assert pad.ids.answer.x < pad.ids.hear.x
    Window.size = (1120, 760)
    frames(6)
    assert pad.right < drill.ids.roll.x
    make(drill, LINE)
    assert line_of(drill) == LINE
    look.left_handed = False


# After the answer.


def beside_rows(drill):
    from screens.beside import BesidePlace, BesideRow

    rows = [row for row in drill.walk() if isinstance(row, BesideRow)]
    places = [[p for p in row.children[::-1] if isinstance(p, BesidePlace)] for row in rows]
    return [row for row in places if row]


def test_each_place_of_both_lines_is_told_and_can_be_heard(ask):
    drill, session = ask(PLAIN, PLAIN)
    right = PLAIN.question.right[0].split()
    others = [letter for letter in "SRGmPDN" if letter not in right]
    written = [right[0], others[0], *right[2:]]
    type_out(" ".join(written))
    key("enter")
    was, given = beside_rows(drill)
    assert [place.text for place in was] == right
    assert [place.text for place in given] == written
    assert [_cell(text) for text in ("P,:1/2", "\\S':3/2", "G~:2", "")] == [
        "P, ½", "\\S' 1½", "G~ 2", NOTHING,
    ]  # fmt: skip
    assert [place.mark for place in given] == ["right", "otherwise", "right", "right", "right"]
    beside = KINDS["write"].explain(PLAIN.question, session.given[0]).beside
    touch(given[1])
    touch(was[1])
    tab_to(lambda: was[2].focused)
    key("enter")
    heard = [beside[1].given_cue, beside[1].was_cue, beside[2].was_cue]
    assert session.told == heard
    touch(drill.main_thing())
    frames(2)
    type_out(PLAIN.question.right[0])
    key("enter")
    assert drill.verdict == "Right"
    (was,) = beside_rows(drill)  # one line tells both
    assert {place.mark for place in was} == {"right"}


def findings(drill):
    from screens.findings import FindingRow

    return [row for row in drill.walk() if isinstance(row, FindingRow)]


def full(question, given):
    raise SchedulerError("no room on the disk")


def test_what_the_raga_says_of_a_phrase_is_told_and_heard_and_the_phrase_kept(ask):
    drill, session = ask(MADE)
    drill._on_keep = full
    make(drill, BROKEN)
    touch(tool(drill, "answer"))
    frames(3)
    found = KINDS["raga-make"].explain(MADE.question, BROKEN).findings
    rows = findings(drill)
    assert [(row.text, row.kind) for row in rows] == [(each.text, each.mark) for each in found]
    assert any("not shuddha Ma" in row.text and row.kind == "otherwise" for row in rows)
    heard = next(row for row in rows if row.plays)
    drill.ids.roll.scroll_to(heard, animate=False)
    frames(2)
    touch(heard)
    assert session.told == [found[rows.index(heard)].cue]
    keeps = plate(drill, "Keep this phrase")
    drill.ids.roll.scroll_to(keeps, animate=False)
    frames(2)
    touch(keeps)
    assert drill.trouble == "no room on the disk"
    kept = []
    drill._on_keep = lambda question, given: kept.append((question, given))
    drill.keep()
    assert drill.trouble == ""
    assert kept == [(MADE.question, BROKEN)]
    assert keeps.text == "Kept"
    assert keeps.disabled
