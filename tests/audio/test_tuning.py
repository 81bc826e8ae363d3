"""Tuning: swaras to cents to hertz, and Scala files."""

import re
from fractions import Fraction
from pathlib import Path

import music21
import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21.scale import scala

from audio.errors import TuningError
from audio.tuning import (
    EQUAL,
    JUST,
    SITAR_SA_HZ,
    SWARAS,
    Swara,
    hz,
    load_tuning,
    ratio_cents,
    read_scl,
    tuning_from_scale,
    tuning_in_words,
)

ARCHIVE = Path(music21.__file__).parent / "scale" / "scala" / "scl"


@given(st.integers(-40, 40))
def test_a_swara_reads_back_from_its_writing(steps):
    assert Swara.read(str(Swara.at(steps))) == Swara.at(steps)
    assert Swara.at(steps).steps == steps


@pytest.mark.parametrize("text", ["", "X", "s", "S',", "SR", "S '"])
def test_what_is_no_swara_is_refused(text):
    with pytest.raises(TuningError, match="is not a swara"):
        Swara.read(text)


def test_just_places_are_notes_of_the_published_indian_scale():
    # Scala archive, indian.scl (22 shrutis), as shipped in music21.
    published = read_scl((ARCHIVE / "indian.scl").read_text("latin-1"), name="indian.scl")
    assert len(published.ratios) == 22
    assert set(JUST.ratios[1:]) <= set(published.ratios)


def test_just_sizes_are_the_handbook_cents():
    # Ellis's table of intervals in cents, as in the appendix to Helmholtz (from memory).
    handbook = {"R": 203.9, "g": 315.6, "G": 386.3, "m": 498.0, "P": 702.0, "D": 884.4, "N": 1088.3}
    for letter, cents in handbook.items():
        assert JUST.cents[SWARAS.index(letter)] == pytest.approx(cents, abs=0.05)


def test_sitar_sa_is_c_sharp_three_at_iso_16():
    # ISO 16:1975 gives A4 = 440 Hz; C sharp 4 is 8 equal semitones below.
    assert music21.pitch.Pitch("C#4").frequency == pytest.approx(SITAR_SA_HZ, abs=1e-9)


@given(st.floats(98, 330), st.integers(-12, 24))
def test_equal_temperament_agrees_with_music21(sa_hz, steps):
    octaves = music21.interval.Interval(steps).cents / 1200
    assert hz(EQUAL.cents_of(Swara.at(steps)), sa_hz=sa_hz) == pytest.approx(sa_hz * 2**octaves)


def peer_cents(path):
    """The same file as music21 reads it, or None where it gives up."""
    file = scala.ScalaFile()
    file.open(str(path))
    try:
        return file.read().getCentsAboveTonic()
    except ValueError:
        return None
    finally:
        file.close()


def has_comment_or_falls(path):
    """Whether a pitch line says more than a pitch, or a degree lies below another."""
    lines = [x.strip() for x in path.read_text("latin-1").splitlines() if not x.startswith("!")]
    cents = read_scl(path.read_text("latin-1"), name=path.name).cents
    return any(not re.fullmatch(r"[\d.]+(/\d+)?", x) for x in lines[2:] if x) or min(cents) < 0


def test_the_whole_archive_is_read_and_agrees_with_music21():
    # Scala archive (3,932 files in music21 10.5.1). Its reader joins the digits of a comment to
    # the pitch and drops signs; only such files may differ.
    paths = sorted(ARCHIVE.glob("*.scl"))
    assert len(paths) > 3000
    differing = []
    for path in paths:
        ours, theirs = read_scl(path.read_text("latin-1"), name=path.name).cents, peer_cents(path)
        if theirs is None or list(ours) != pytest.approx(theirs, abs=1e-3):
            differing.append(path)
    assert all(has_comment_or_falls(path) for path in differing)
    assert len(differing) < len(paths) / 100


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "line 1: the file ends early"),
        ("! only\nname", "line 2: the file ends early"),
        ("name\ntwelve\n2/1", "line 2: 'twelve' should be the number of notes"),
        ("name\n3\n9/8\n2/1", "line 4: 3 notes are promised, 2 are there"),
        ("name\n1\nfifth", "line 3: 'fifth' should be cents"),
        ("name\n1\n3/0", "line 3: '3/0' divides by nought"),
        ("name\n1\n-3/2", "line 3: '-3/2' is not above nought"),
        ("name\n! remark\n2\n9/8\n.", "line 5: '.' should be cents"),
    ],
)
def test_a_faulty_scale_is_refused_with_line_and_reason(text, said):
    with pytest.raises(TuningError, match=re.escape(said)):
        read_scl(text, name="x.scl")


def test_a_scale_of_22_shrutis_gives_the_twelve_just_swaras():
    tuning = load_tuning(str(ARCHIVE / "indian.scl"))
    assert tuning.cents == pytest.approx(JUST.cents)


def test_dha_is_a_comma_higher_in_one_published_scale():
    # indian_12.scl has Dha at 27/16 where others have 5/3.
    tuning = load_tuning(str(ARCHIVE / "indian_12.scl"))
    assert tuning.ratio_of(Swara.read("D")) == Fraction(27, 16)


@pytest.mark.parametrize("name", ["todi_av.scl", "slendro.scl", "bohlen-p.scl"])
def test_a_scale_without_all_twelve_swaras_is_refused(name):
    with pytest.raises(TuningError, match=r"no note lies near|should be the octave"):
        load_tuning(str(ARCHIVE / name))


def test_a_missing_scale_file_is_told_with_a_remedy():
    with pytest.raises(TuningError, match="write just, equal, or the path"):
        load_tuning("nowhere.scl")


@pytest.mark.parametrize("name", ["just", "equal", str(ARCHIVE / "indian_12.scl")])
def test_a_tuning_written_in_one_line_reads_back_without_its_file(name):
    tuning = load_tuning(name)
    again = load_tuning(tuning_in_words(tuning))
    assert again.cents == tuning.cents
    assert again.ratios == tuning.ratios


def test_a_ratio_and_its_cents_are_two_forms_of_one_size():
    assert ratio_cents(Fraction(3, 2)) == pytest.approx(701.955, abs=5e-4)  # Scala, as printed
    assert tuning_from_scale(
        read_scl("n\n12\n" + "\n".join(f"{c}." for c in range(100, 1300, 100)), name="n"),
        name="n",
    ).cents == pytest.approx(EQUAL.cents)
