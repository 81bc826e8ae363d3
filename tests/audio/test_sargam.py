"""Sargam in writing: reading, printing, timing, and errors that point."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio.errors import SargamError
from audio.line import BAR, CHIKARI, HOLD, REST, Beat, Line, Tone
from audio.mizrab import CHIKARI_RING_S
from audio.playing import RING_S, score_of
from audio.sargam import parse, write
from audio.tuning import JUST, Swara

swaras = st.builds(Swara, st.integers(0, 11), st.integers(-3, 3))
touches = st.lists(swaras, max_size=4).map(tuple)
sideways = st.integers(-1, 1)
tones = st.builds(
    Tone,
    swaras,
    touches=touches,
    sway=st.sampled_from(["", "", "andolan", "gamak"]),
    loud=sideways,
    tone=sideways,
).filter(lambda tone: tone.touches[-1:] != (tone.swara,))
shaken = st.builds(
    lambda low, rise, loud: Tone(low, shaken=Swara.at(low.steps + rise), loud=loud),
    swaras,
    st.integers(1, 4),
    sideways,
).filter(lambda tone: tone.shaken.octave <= 3)
parts = st.lists(
    st.one_of(tones, shaken, st.sampled_from([HOLD, REST, CHIKARI])), min_size=1, max_size=5
)
matras = st.fractions(Fraction(1, 16), 8, max_denominator=16)
beats = st.builds(Beat, parts.map(tuple), st.one_of(st.just(Fraction(1)), matras))


def with_joins(line):
    """Joins every second tone to the one before it where a hand could do it in one stroke."""
    items, before, joined = [], None, False
    for item in line.items:
        if item == BAR:
            items.append(item)
            continue
        parts = []
        for part in item.parts:
            by = ""
            if isinstance(part, Tone) and before is not None and not (joined or part.touches):
                rise = part.swara.steps - before.steps
                by = "" if rise == 0 else ("/" if 0 < rise <= 5 else "//") if rise > 0 else ">"
            if isinstance(part, Tone):
                struck = {"loud": 0, "tone": 0} if by else {}
                part, joined, before = replace(part, by=by, **struck), bool(by), part.swara
            else:
                before = before if part == HOLD else None
            parts.append(part)
        items.append(replace(item, parts=tuple(parts)))
    return Line(tuple(items))


lines = (
    st.lists(st.one_of(beats, st.just(BAR)), min_size=1, max_size=30)
    .map(lambda items: Line((Beat((Tone(Swara(0)),)), *items)))
    .map(with_joins)
    .filter(lambda line: line.matras < 1000)
)


@given(lines)
def test_what_is_written_reads_back_as_the_same_line(line):
    assert parse(write(line)) == line


@pytest.mark.parametrize("join", ["/", "//", "<"])
@pytest.mark.parametrize("length", ["2", "3/2", "1/3"])
def test_a_join_stands_before_a_length_or_after_it(join, length):
    line = parse(f"D,:{length}{join} S")
    assert line == parse(f"D,{join}:{length} S") == parse(write(line))
    assert [note.tone.by for note in line.notes()] == ["", join]


@given(lines)
def test_printing_is_settled_after_one_reading(line):
    text = write(line)
    assert write(parse(text)) == text


@given(lines)
def test_notes_and_rests_fill_the_line_in_order(line):
    end = Fraction(0)
    for note in line.notes():
        assert note.onset >= end
        assert note.matras > 0
        end = note.onset + note.matras
    assert end <= line.matras


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused_at_a_place_within_it(text):
    try:
        line, position = parse(text), 0
    except SargamError as error:
        line, position = None, error.position
    assert 0 <= position <= len(text)
    assert line is None or parse(write(line)) == line


def test_notes_joined_together_share_a_matra():
    # Printed sargam joins notes of one matra by an arc beneath (common practice).
    assert [(str(n.swara), n.onset, n.matras) for n in parse("S GmP -").notes()] == [
        ("S", 0, 1),
        ("G", 1, Fraction(1, 3)),
        ("m", Fraction(4, 3), Fraction(1, 3)),
        ("P", Fraction(5, 3), Fraction(4, 3)),
    ]


def test_a_hold_lengthens_and_a_rest_ends_a_note():
    assert [(str(n.swara), n.matras) for n in parse("S - . R:3/2").notes()] == [
        ("S", 2),
        ("R", Fraction(3, 2)),
    ]


@pytest.mark.parametrize(
    ("text", "position", "said"),
    [
        ("S R X", 4, "'X' is not a swara"),
        ("S s", 2, "S has no komal form"),
        ("S 'R", 2, "stands after its swara"),
        ("S'',", 3, "not both"),
        ("S ~R", 2, "stands after the swara that swings"),
        ("S [R]", 2, "kept for later"),
        ("S ^R", 2, "stands after the swara that is struck stronger"),
        ("S -o", 3, "stands after the swara that is struck rounder"),
        ("S^_", 1, "one of"),
        ("S*~*", 1, "one of"),
        ("S/R^", 3, "R has no stroke of its own after /"),
        ("(P^)m", 2, "stands after the swara"),
        ("{SR}^~", 5, "does not swing"),
        ("R/S", 2, "leads up, but R to S does not"),
        ("S<S", 2, "leads up, but S to S does not"),
        (r"S\R", 2, "leads down, but S to R does not"),
        ("S/P S", 2, "5 semitones"),
        (r"S/G/m\R/P", 8, "5 semitones"),
        ("S/", 1, "swara that it leads to"),
        ("S/ . R", 1, "swara that it leads to"),
        ("S//-", 1, "swara that it leads to"),
        ("S . /R", 4, "joins two swaras"),
        ("S<(m)R", 2, "takes no touch"),
        ("(P", 0, "not closed"),
        ("(P m)G", 0, "not closed"),
        ("()m", 0, "one to 4 swaras"),
        ("(SRGmP)m", 0, "one to 4 swaras"),
        ("(P)-", 3, "the touch belongs to"),
        ("{RS}", 0, "the lower first"),
        ("{SRG}", 0, "the lower first"),
        ("{SP}", 0, "5 semitones at most"),
        ("S (RS)S", 2, "cannot be heard"),
        ("(P){SR}", 3, "no touch before it"),
        ("S~~~", 1, "~~ for gamak"),
        ("S)", 1, "closes nothing"),
        ("- S", 0, "nothing sounds yet"),
        ("S:0", 2, "more than nought"),
        ("S:2/", 3, "swara that it leads to"),
        ("S/:2/ R", 1, "swara that it leads to"),
        ("S:2/R", 2, "number of matras"),
        ("S:x", 2, "number of matras"),
        ("S :2", 2, "before :"),
        ("S ,,,,", 2, "stands after its swara"),
        ("S,,,,", 4, "more than 3 octaves"),
        ("", 0, "there is no note"),
        ("| |", 0, "there is no note"),
        ("S:999999", 0, "at most 1000"),
    ],
)
def test_a_fault_is_told_with_its_place(text, position, said):
    with pytest.raises(SargamError, match=said) as caught:
        parse(text)
    assert caught.value.position == position
    assert str(caught.value).endswith(" " * position + "^")


@pytest.mark.parametrize("text", ["S,^*/R,", "S'o_", "(P)m^", "{SR}_", "r~~*", "r*~~", "Sc"])
def test_signs_of_the_right_hand_stand_after_a_swara_in_either_order(text):
    first = parse(text).items[0].parts[0]
    assert first.loud == ("^" in text) - ("_" in text)
    assert first.tone == ("*" in text) - ("o" in text)
    assert set(write(parse(text))) == set(text)


def test_a_score_keeps_the_time_of_the_line():
    score = score_of(parse("S R - GP"), JUST, sa_hz=146.83, matras_per_min=120)
    assert [stroke.onset_s for stroke in score.strokes] == [0.0, 0.5, 1.5, 1.75]
    assert score.strokes[1].duration_s == 1.0
    assert score.strokes[3].path == ((0.0, JUST.cents_of(Swara.read("P"))),)


def test_what_ends_a_line_rings_on_unless_a_rest_ends_it():
    def ends_s(text):
        score = score_of(parse(text), JUST, sa_hz=277.0)
        return sorted({stroke.end_s for stroke in score.strokes})

    assert ends_s("S") == [1.0 + RING_S]
    assert ends_s("S .") == ends_s("S . -") == [1.0]
    assert ends_s("S . c") == [1.0, 2.0 + CHIKARI_RING_S]
    assert ends_s("Scc")[-2:] == pytest.approx([2 / 3, 1.0 + RING_S])
    assert ends_s("S c .")[-1] == 1.0 + CHIKARI_RING_S
