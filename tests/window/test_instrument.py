"""On the instrument, in the window: the theka keeps the tempo on view, minutes are noted, hands
rest."""

import re
import time

import numpy as np
import pytest

from practice.instrument import CLEAN, GIVEN, MINUTES
from practice.ladder import REST_AFTER_HANDS_MIN, Ladder
from screens.keys import things_in
from tests.audio.meters import drum_onsets
from tests.window.hands import frames, key, touch, wait_for

pytestmark = pytest.mark.window
pytest_plugins = ("tests.sound_device",)

RATE = 44_100
LIVELY = {"n": 3, "layout": "two"}, 690.0
"""What was clean before, so that a round is soon over, in some 2 s: its layout and its tempo."""


@pytest.fixture
def on_instrument(open_app):
    """The app, gone to the instrument by touch: (app, screen)."""

    def on_instrument(size=(600, 960), **more):
        app = open_app(size, seed=1, **more)
        detail, tempo = LIVELY
        app.practice.note_palta("before", CLEAN, tempo=tempo, detail=detail)
        go_there(app)
        return app, app.manager.current_screen

    return on_instrument


def go_there(app):
    """By touch, once the first screen stands still."""
    first = app.manager.get_screen("practice")
    wait_for(lambda: first._coming is None, what="what today holds")
    frames(4)
    touch(first.ids.instrument)
    assert app.manager.current == "instrument"
    frames(4)


def calmly(fact, what):
    """Wait as `wait_for` does, with less to do meanwhile."""

    def looked():
        time.sleep(0.02)
        return fact()

    return wait_for(looked, what=what)


def minutes_in(practice):
    return [note.data["minutes"] for note in practice._notes.read(MINUTES)]


@pytest.mark.sound
def test_the_theka_has_the_tempo_that_the_screen_says_and_changes_it_at_a_sam(
    null_sink, on_instrument
):
    with null_sink.recording() as recording:
        app, screen = on_instrument(speaker="stream")
        parts, matras = screen.ids, screen._shown.tala.matras
        first = float(screen.tempo)
        touch(parts.main)
        calmly(lambda: parts.face.lit == 3, "the third matra")
        touch(parts.clean)
        assert float(screen.tempo) == first
        assert screen.next_tempo.endswith("from the next sam")
        said = float(screen.next_tempo.split()[0])
        calmly(lambda: float(screen.tempo) != first, "the new tempo")
        assert (float(screen.tempo), screen.next_tempo) == (said, "")
        calmly(lambda: parts.face.lit == matras, "the end of the second round")
        speaker = app.practice.speaker
        late = speaker.late_fetches + speaker.underruns
        touch(parts.main)
        samples = recording.samples
    assert said == Ladder().at(first).after(CLEAN).tempo > first
    # Of the theka of tintal every bol is one stroke (common practice).
    assert screen._shown.tala.id == "tintal"
    onsets = drum_onsets(samples) / RATE
    before, after = onsets[:matras], onsets[matras : 2 * matras - 1]
    assert late or len(after) == matras - 1
    for heard, tempo in ((before, first), (after, said)):
        # In the middle: on a busy machine the recorder leaves out some ms now and then.
        assert 60 / np.median(np.diff(heard)) == pytest.approx(tempo, rel=0.002)
    # The sam on which it changes comes when the round before it is over: no gap, nothing cut.
    assert late or after[0] - before[-1] == pytest.approx(60 / first, abs=0.02)
    assert [each.said for each in app.practice.paltas_noted()] == [CLEAN, GIVEN, CLEAN]
    assert app.practice.paltas_noted()[-1].tempo == first
    assert sum(minutes_in(app.practice)) * 60 == pytest.approx(32 * 60 / first, abs=1.5)


def test_all_of_it_by_touch(on_instrument):
    app, screen = on_instrument()
    exercise, parts = screen.exercise, screen.ids
    first = exercise.varied
    shown = [label.text for label in reversed(parts.up.ids.groups.children)]
    written = [re.sub(r"-|\[/?u\]", "", text) for text in shown]
    groups = [*first.run.up, *([first.turn] if first.turn else [])]
    assert written == [" ".join(map(str, group)) for group in groups]
    assert all(text.startswith("[u]") for text in shown)  # each group begins with a matra
    assert {each.key for each in app.practice.paltas_noted()} == {"before"}
    assert first.name == screen.name_words
    assert (parts.clean.disabled, parts.main.text) == (True, "Start")
    touch(parts.hear)
    assert (screen.stage, parts.hear.text) == ("heard", "End it")
    touch(parts.hear)
    touch(parts.main)
    assert (screen.stage, parts.main.text) == ("playing", "Stop")
    assert parts.hear.disabled
    calmly(lambda: parts.face.lit == 1, "sam")
    touch(parts.slower)
    assert float(screen.next_tempo.split()[0]) < float(screen.tempo)
    exercise._unnoted_s += 120.0
    touch(parts.another)
    assert screen.stage == "ready"
    assert exercise.varied.key != first.key
    assert screen.today == "Two minutes on the instrument today"
    touch(parts.done)
    assert app.manager.current == "practice"
    go_there(app)
    assert (exercise.varied.name, screen.can_say) == (screen.name_words, False)
    assert [each.said for each in app.practice.paltas_noted()].count(GIVEN) == 1


def test_all_of_it_by_keys(on_instrument):
    app, screen = on_instrument(left_handed=True)
    key("c")
    assert screen.stage == "ready"
    key("enter")
    calmly(lambda: screen.ids.face.lit == 1, "sam")
    key("c")
    assert "C for clean" in screen.keys_told
    key("enter")
    assert screen.stage == "ready"
    assert app.practice.paltas_noted()[-1].said == CLEAN
    for _ in range(3):
        key("tab")
    assert any(thing.focused for thing in things_in(screen))
    key("escape")
    assert app.manager.current == "practice"


def test_at_the_cautions_time_it_says_to_rest_and_a_clear_word_goes_on(on_instrument):
    app, screen = on_instrument()
    exercise = screen.exercise
    touch(screen.ids.main)
    calmly(lambda: screen.ids.face.lit == 1, "sam")
    exercise._in_one_go_s = 60 * REST_AFTER_HANDS_MIN
    calmly(lambda: "It ends with this round" in screen.next_tempo, "word of the end")
    calmly(lambda: screen.stage == "resting", "the rest")
    assert "Five minutes of rest are left" in screen.rest
    assert "doctor" in screen.caution
    key("enter")  # leads away, not on
    assert app.manager.current == "practice"
    go_there(app)
    assert screen.stage == "resting"
    frames(3)
    assert screen.ids.main.text == "Play on all the same"
    touch(screen.ids.hear)  # it may be heard in a rest, which goes on
    assert (screen.stage, screen.heard, screen.ids.hear.text) == ("resting", True, "End it")
    assert screen.ids.main.text == "Play on all the same"
    touch(screen.ids.main)
    assert screen.stage == "playing"


@pytest.mark.parametrize("how", ["on_pause", "on_stop"])
def test_minutes_are_noted_when_the_app_is_put_away_or_closed_in_the_middle(on_instrument, how):
    app, screen = on_instrument()
    touch(screen.ids.main)
    calmly(lambda: screen.ids.face.lit == 1, "sam")
    screen.exercise._unnoted_s += 60.0
    assert minutes_in(app.practice) == []
    getattr(app, how)()
    assert sum(minutes_in(app.practice)) == pytest.approx(1.0, abs=0.1)
    assert not screen.exercise.is_playing
    if how == "on_pause":
        assert screen.stage == "ready"
        app.on_resume()


@pytest.mark.parametrize(
    ("size", "text_size", "left_handed"),
    [((600, 960), "largest", False), ((960, 600), "largest", True), ((1120, 760), "usual", False)],
)
def test_everything_has_room(on_instrument, size, text_size, left_handed):
    _, screen = on_instrument(size, text_size=text_size, left_handed=left_handed)
    screen.exercise.has_played = True
    screen._show()
    frames(4)
    plates = [thing for thing in things_in(screen) if hasattr(thing, "press")]
    assert len(plates) == 7
    for at, plate in enumerate(plates):
        assert min(plate.size) >= 48
        assert min(plate.pos) >= 0
        assert plate.right <= size[0]
        assert plate.top <= size[1]
        assert not any(plate.collide_widget(other) for other in plates[at + 1 :])
        assert plate.texture_size[0] <= plate.width + 1
    assert not screen.ids.roll.collide_widget(screen.ids.foot)
    assert screen.ids.face.width >= 150
    groups = [*screen.ids.up.ids.groups.children, *screen.ids.down.ids.groups.children]
    assert all(group.right <= screen.ids.roll.width for group in groups)
    # The notation is on view as a whole, without rolling.
    lowest = min(group.to_window(*group.pos)[1] for group in groups)
    assert lowest >= screen.ids.roll.y
