"""Where the pitch of an explained phrase runs in its drawing, in seconds and cents."""

import math

import pytest

from audio.playing import score_of
from audio.sargam import parse
from audio.score import Score, Stroke
from audio.speakers import Playing
from audio.tuning import JUST, SWARAS, Swara
from quizzes.explanation import Marked
from quizzes.ragas.asking import drawn_in
from quizzes.ragas.words import letter_name
from screens.following import Following
from screens.tracing import drawing_of, form_that_fits, forms_of, moment_in, pitch_at, shown_of

TEMPO = 72.0
MATRA_S = 60.0 / TEMPO


def drawn(sargam, deciding=(), *, lead_s=0.0):
    line = parse(sargam)
    score = score_of(line, JUST, sa_hz=138.59, matras_per_min=TEMPO, lead_s=lead_s)
    return drawing_of(score, drawn_in(line, score, deciding, tempo=TEMPO)), score


def test_each_swara_lies_at_its_pitch_for_as_long_as_it_is_held():
    drawing, _ = drawn("S G:2 P N,", lead_s=0.3)
    at = [(note.label, round(note.cents)) for note in drawing.notes]
    # Just intonation: 5/4, 3/2 and, a saptak lower, 15/8.
    expected = [0, 1200 * math.log2(5 / 4), 1200 * math.log2(3 / 2), 1200 * math.log2(15 / 16)]
    assert at == list(zip(["Sa", "Ga", "Pa", "mandra Ni"], map(round, expected), strict=True))
    starts = [note.start_s for note in drawing.notes]
    assert starts == pytest.approx([0.3 + n * MATRA_S for n in (0, 1, 3, 4)])
    assert drawing.end_s == pytest.approx(0.3 + 5 * MATRA_S)


def test_a_trace_is_what_the_string_does_and_ends_with_the_last_swara():
    drawing, score = drawn("S r~:2 m")
    for stroke, trace in zip(score.strokes, drawing.traces, strict=True):
        for (at_s, cents), point in zip(stroke.path, trace[:-1], strict=False):
            assert point == pytest.approx((stroke.onset_s + at_s, cents))
        assert trace[-1][0] <= stroke.end_s
    assert drawing.traces[-1][-1][0] == pytest.approx(drawing.end_s)
    assert score.duration_s > drawing.end_s  # it rings on, which is not drawn
    swung = drawing.notes[1]
    assert swung.reaches_cents > swung.cents + 20
    assert swung.cents == pytest.approx(1200 * math.log2(16 / 15), abs=10)


def test_a_joined_swara_has_its_own_height_on_the_stroke_of_the_one_before():
    drawing, _ = drawn("S/G P")
    assert len(drawing.traces) == 2
    assert drawing.notes[1].cents == pytest.approx(386.3, abs=2)


def test_lines_lie_at_the_swaras_that_occur_each_once_and_at_every_sa_near():
    drawing, _ = drawn("P M P G m G")
    assert [round(c) for c in drawing.lines] == [386, 498, 590, 702]
    assert drawing.sas == (0.0,)
    assert drawn("P, N, S G")[0].sas == (0.0,)
    assert drawn("N S' R' S'")[0].sas == (1200.0,)
    assert drawn("S, S S'")[0].sas == (-1200.0, 0.0, 1200.0)


def test_all_that_is_drawn_lies_within_the_drawing():
    for sargam in ("S", "P M P", "m, P, d, n, S R g m P d n S' R' G'", "G m r~:2 S"):
        drawing, _ = drawn(sargam)
        heights = [c for trace in drawing.traces for _, c in trace] + list(drawing.sas)
        assert drawing.low_cents <= min(heights) <= max(heights) <= drawing.high_cents
        assert drawing.high_cents - drawing.low_cents >= 499


@pytest.mark.parametrize(
    ("deciding", "stretches"),
    [((), []), ((1,), [(1, 2)]), ((1, 2, 3), [(1, 4)]), ((0, 1, 4), [(0, 2), (4, 5)])],
)
def test_deciding_swaras_that_follow_each_other_are_one_stretch(deciding, stretches):
    drawing, _ = drawn("S R G m P", deciding)
    expected = [pytest.approx((a * MATRA_S, b * MATRA_S)) for a, b in stretches]
    assert list(drawing.here) == expected


def test_in_a_rest_and_before_the_first_stroke_nothing_sounds():
    drawing, _ = drawn("S - G", lead_s=0.5)
    assert pitch_at(drawing.traces, 0.2) is None
    assert pitch_at(drawing.traces, 0.5 + 0.5 * MATRA_S) == pytest.approx(0.0)


def test_chikari_are_no_part_of_the_phrase():
    strokes = (
        Stroke(0.0, 1.0, ((0.0, 0.0),)),
        Stroke(0.5, 1.0, ((0.0, 1200.0),), voice="chikari"),
        Stroke(1.0, 1.0, ((0.0, 204.0),)),
    )
    marks = (Marked(0.0, 1.0, "Sa"), Marked(1.0, 2.0, "Re"))
    drawing = drawing_of(Score(138.59, strokes), marks)
    assert len(drawing.traces) == 2
    assert drawing.traces[0][-1] == (1.0, 0.0)


def test_every_swara_has_a_letter_that_is_the_one_of_the_string():
    assert {forms_of(letter_name(letter))[2] for letter in SWARAS} == set(SWARAS)
    assert forms_of("komal Re") == ("komal Re", "komal\nRe", "r")
    assert forms_of("tar komal Re") == ("tar komal Re", "tar komal\nRe", "r'")
    assert forms_of("mandra Pa") == ("mandra Pa", "mandra\nPa", str(Swara.read("P,")))
    assert forms_of("a turn") == ("a turn", "a\nturn", "a turn")


@pytest.mark.parametrize(("px_per_s", "form"), [(200.0, 0), (45.0, 1), (30.0, 2)])
def test_names_are_as_long_as_all_of_them_have_room_beside_each_other(px_per_s, form):
    drawing, _ = drawn("S r G M:2")

    def broad_px(text):
        return 8.0 * max(map(len, text.split("\n")))

    def x_of(at_s):
        return at_s * px_per_s

    room = (0.0, x_of(drawing.end_s))
    assert form_that_fits(drawing.notes, x_of, broad_px, room) == form


def test_a_name_tells_its_saptak_wherever_it_is_not_the_middle_one():
    drawing, _ = drawn("N, R' S' N r,")
    assert [forms_of(note.label)[2] for note in drawing.notes] == ["N,", "R'", "S'", "N", "r,"]


def test_where_names_would_touch_some_are_left_out_and_none_that_decides():
    drawing, _ = drawn("S R G m P D N S'", deciding=(3, 4))
    places, broad = [10.0 * at for at in range(8)], [12.0] * 8
    shown = [at for at, is_shown in enumerate(shown_of(drawing.notes, places, broad)) if is_shown]
    assert shown == [0, 3, 5, 7]  # 4 would touch 3, which decides as well
    assert all(shown_of(drawing.notes, [15.0 * at for at in range(8)], broad))


def slower(sargam, factor):
    line = parse(sargam)
    return tuple(
        score_of(line, JUST, sa_hz=138.59, matras_per_min=TEMPO * by) for by in (1.0, factor)
    )


def test_a_moment_of_the_slow_phrase_is_the_same_swara_of_the_phrase():
    score, slow = slower("S R:2 G m", 0.6)
    for usual, later in zip(score.strokes, slow.strokes, strict=True):
        assert moment_in(score, slow, later.onset_s) == pytest.approx(usual.onset_s)
        middle = later.onset_s + 0.5 * MATRA_S / 0.6
        assert moment_in(score, slow, middle) == pytest.approx(
            usual.onset_s + 0.5 * MATRA_S, abs=0.3
        )
    assert moment_in(score, score, 1.234) == 1.234


def test_what_is_followed_is_reckoned_back_from_when_it_ends():
    score, slow = slower("S R G m", 0.6)
    now = [100.0]
    playing = Playing(100.0 + slow.duration_s + 0.5)
    follows = Following(score, slow, playing, slow.duration_s, clock=lambda: now[0])
    assert follows.at_s() == 0.0  # a drone may settle before the first stroke
    now[0] = 100.5 + slow.strokes[2].onset_s
    assert follows.at_s() == pytest.approx(score.strokes[2].onset_s)
    playing.end_by(now[0])
    assert follows.at_s() is None
