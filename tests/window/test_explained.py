"""A raga question after the answer: its phrase drawn, heard slowly, followed while it sounds."""

import time
import wave

import pytest

from audio.score import Score, Stroke
from audio.speakers import Playing
from quizzes.explanation import Explanation, Marked
from tests.window.hands import frames, key, touch, wait_for
from tests.window.practising import answer, pass_introduction
from tests.window.scripted import GAPS, skills_that_begin, step
from tests.window.test_drill import plate, texts_in
from tests.window.test_room import check, check_targets
from tests.window.written import order_step

pytestmark = pytest.mark.window

KIND = "raga-from-phrase"


def raga_step(sort="note", **more):
    return step(skills_that_begin(f"{KIND}:{sort}")[0], met=skills_that_begin(KIND), **more)


def wrong_in(question):
    return next(choice.id for choice in question.choices if choice.id not in question.right)


def drawing_in(drill):
    from screens.contour import Contour

    (found,) = [part for part in drill.walk() if isinstance(part, Contour)]
    return found


@pytest.fixture
def told(ask):
    """A raga question answered wrongly: (drill, session, its drawing)."""

    def tell(sort="note", **more):
        drill, session = ask(raga_step(sort), **more)
        drill.give(wrong_in(drill._step.question))
        frames(5)
        return drill, session, drawing_in(drill)

    return tell


def test_the_phrase_is_drawn_with_its_swaras_and_where_it_was_to_be_heard(told):
    drill, _, contour = told()
    drawn = drill._explanation.drawn
    texts = [text for text, *_ in contour.text_boxes]
    assert [text for text in texts if text not in ("here",)][-len(drawn) :] == [
        marked.label for marked in drawn
    ]
    assert "here" in texts
    (here,) = contour.drawing.here
    deciding = [marked for marked in drawn if marked.deciding]
    assert here == (deciding[0].start_s, deciding[-1].end_s)
    assert contour.height > 100


def test_higher_swaras_stand_higher_and_later_ones_further_right(told):
    _, _, contour = told()
    notes = contour.drawing.notes
    by_pitch = sorted(notes, key=lambda note: note.cents)
    assert contour.y_of(by_pitch[0].cents) < contour.y_of(by_pitch[-1].cents) < contour.top
    assert contour.x <= contour.x_of(notes[0].start_s) < contour.x_of(notes[-1].end_s)
    assert contour.x_of(notes[-1].end_s) <= contour.right


def test_before_the_answer_nothing_is_drawn(ask):
    from screens.contour import Contour

    drill, _ = ask(raga_step())
    assert not [part for part in drill.walk() if isinstance(part, Contour)]


def test_what_is_not_drawn_takes_no_room(ask):
    drill, _ = ask(step(GAPS[0], met=GAPS))
    key("1")
    frames(3)
    assert drawing_in(drill).height == 0
    assert "Slower" not in texts_in(drill)


def test_a_drawing_of_an_earlier_question_is_gone_with_the_next(ask):
    drill, _ = ask(raga_step(), step(GAPS[0], met=GAPS))
    drill.give(wrong_in(drill._step.question))
    drill.next()
    frames(3)
    key("1")
    frames(3)
    assert drawing_in(drill).height == 0


def test_a_point_runs_along_with_what_it_was_and_stands_still_for_the_rest(told):
    drill, session, contour = told()
    length_s = session.seconds_of(drill._explanation.right_cue)
    session.playing = Playing(time.monotonic() + 0.7 * length_s)
    drill.hear_right()
    frames(2)
    first = contour.at_s
    assert first == pytest.approx(0.3 * length_s, abs=0.5)
    wait_for(lambda: contour.at_s > first + 0.05, what="the point to run on")
    drill.hear_given()
    frames(2)
    assert session.played_given == 1
    assert contour.at_s is None


def test_the_point_is_gone_when_the_sound_has_ended(told):
    drill, session, contour = told()
    session.playing = Playing(time.monotonic() + 3600.0)
    drill.hear_right()
    frames(2)
    assert contour.at_s == 0.0
    session.playing.end_by(time.monotonic())
    wait_for(lambda: contour.at_s is None, what="the end")


def test_what_was_given_is_said_where_it_has_to_be_known(told):
    drill, _, _ = told()
    assert drill.verdict == "Said otherwise"
    assert "You said" in texts_in(drill)
    assert "You heard" not in texts_in(drill)


def test_slower_is_heard_by_touch_and_by_its_key(told):
    drill, session, _ = told()
    touch(plate(drill, "Slower"))
    assert session.played_slowly == 1
    assert "S" in texts_in(drill)  # its key is shown
    key("s")
    assert session.played_slowly == 2


def test_the_key_of_slower_does_nothing_where_there_is_no_such_sound(ask):
    _, session = ask(step(GAPS[0], met=GAPS))
    key("1")
    frames(2)
    key("s")
    assert session.played_slowly == 0


def test_what_the_given_sound_is_stands_on_its_plate(told):
    drill, _, _ = told()
    played = drill._explanation.given_plays
    assert played
    assert f"Hear: {played}" in texts_in(drill)


@pytest.mark.parametrize(
    ("size", "text_size", "sort"),
    [
        ((600, 960), "usual", "note"),
        ((600, 960), "largest", "not-yet"),
        ((960, 600), "largest", "note"),
    ],
)
def test_a_raga_question_has_room_through_all_its_stages(ask, size, text_size, sort):
    drill, _ = ask(raga_step(sort, new=True), size=size, text_size=text_size)
    check(drill)
    drill.ask_me()
    frames(4)
    check(drill)
    check_targets(drill)
    drill.give(wrong_in(drill._step.question))
    frames(4)
    check(drill)
    check_targets(drill)
    check_words(drawing_in(drill))


def check_words(contour):
    """No word of the drawing leaves it or lies over another."""
    boxes = contour.text_boxes
    assert boxes
    for number, (text, x, y, width, height) in enumerate(boxes):
        assert contour.x - 1 <= x <= x + width <= contour.right + 1, text
        assert contour.y - 1 <= y <= y + height <= contour.top + 1, text
        for other, ox, oy, owidth, oheight in boxes[number + 1 :]:
            beside = x + width <= ox + 1 or ox + owidth <= x + 1
            # The lines of a font stand apart by more than its letters are high.
            above = y + 0.8 * height <= oy or oy + 0.8 * oheight <= y
            assert beside or above, (text, other)


SIXTEEN = ("m,", "P,", "d,", "N,", "S", "r", "S", "G", "m", "P", "d", "N", "S'", "N", "d", "P")


def test_sixteen_swaras_in_eighteen_seconds_have_room(open_app):
    from audio.tuning import JUST, Swara
    from quizzes.names import swara_name
    from screens.contour import Contour
    from screens.tracing import drawing_of
    from tests.window.opened import showing

    swaras = [Swara.read(text) for text in SIXTEEN]
    strokes = tuple(
        Stroke(n * 1.06, 1.06, ((0.0, JUST.cents_of(swara)),)) for n, swara in enumerate(swaras)
    )
    drawn = tuple(
        Marked(n * 1.06, (n + 1) * 1.06, swara_name(Swara(s.semitone, 0)), n in (4, 5, 6, 11))
        for n, s in enumerate(swaras)
    )
    open_app(text_size="largest")
    contour = Contour(drawing=drawing_of(Score(138.59, strokes), drawn), size_hint_x=None)
    with showing(contour, (600, 960)):
        for width in (372, 560, 868):
            contour.width = width
            frames(2)
            check_words(contour)
            assert [text for text, *_ in contour.text_boxes].count("here") == 2


def test_an_explanation_of_a_line_may_be_drawn_too(ask, monkeypatch):
    from tests.window import written

    def explain(question, given):
        cue = written.CUE
        marks = (Marked(0.0, 0.5, "Sa", deciding=True), Marked(0.5, 1.0, "Sa"))
        return Explanation("da ra", given, "So.", cue, cue, slow_cue=cue, drawn=marks)

    monkeypatch.setattr(written, "explain", explain)
    for size in ((600, 960), (960, 600)):
        drill, session = ask(order_step({"1": "S G R m", "2": "m G R S"}), size=size)
        drill.give("2 1")
        frames(4)
        assert drawing_in(drill).height > 100
        check(drill)
        touch(plate(drill, "Slower"))
        assert session.played_slowly == 1


def seconds_of_file(path):
    with wave.open(str(path)) as file:
        return file.getnframes() / file.getframerate()


def test_in_a_practice_of_ragas_slower_really_is(open_app):
    app = open_app(speaker="wav", course="ragas")
    app.begin(5)
    drill = app._screen("drill")
    wait_for(lambda: drill.stage != "waiting", what="the first question")
    frames(3)
    pass_introduction(drill)
    answer(drill, wrong=True)
    assert drill._step.question.kind.startswith("raga-")
    cues = app.practice.folder / "cues"
    drill.hear_right()
    usual = max(cues.glob("cue-*.wav"))
    touch(plate(drill, "Slower"))
    slow = max(cues.glob("cue-*.wav"))
    assert slow != usual
    explained = drill._explanation
    asked_s = explained.slow_cue.duration_s - explained.right_cue.duration_s
    assert asked_s > 1.0
    heard_s = seconds_of_file(slow) - seconds_of_file(usual)
    assert heard_s == pytest.approx(asked_s, abs=0.05)


@pytest.mark.parametrize(
    ("size", "text_size"),
    [((600, 960), "usual"), ((1280, 800), "usual"), ((960, 600), "largest")],
)
def test_the_drawing_takes_the_room_that_is_free_and_why_stands_above_it(told, size, text_size):
    drill, _, contour = told(size=size, text_size=text_size)
    roll = drill.ids.roll
    part = contour.parent
    why = next(p for p in part.children if getattr(p, "text", "") == drill.explained)
    assert contour.top <= why.y
    _, bottom = why.to_window(why.x, why.y)
    assert bottom >= roll.y
    below_and_above = roll.height - part.height
    if text_size == "usual":
        assert contour.height > 0.3 * size[1]
        assert below_and_above < 100
    if size[0] > size[1]:
        assert contour.right > drill.ids.actions.x - 60


def test_no_line_of_the_drawing_runs_through_a_name(told):
    for width in (600, 1280):
        _, _, contour = told(size=(width, 800))
        names = [box for box in contour.text_boxes if box[0] not in ("here", "Sa")]
        lowest = min(contour.y_of(cents) for cents in contour.drawing.lines + contour.drawing.sas)
        assert names
        assert all(y + height <= lowest for _, _, y, _, height in names)
