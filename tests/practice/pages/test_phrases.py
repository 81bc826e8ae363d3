"""Phrases to play are sargam as the README writes it, or words for what the left hand does."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio.sargam import parse
from practice.pages.phrases import swaras_to_play
from quizzes.catalogue import make_question
from quizzes.question import Setting

SWARAS = st.builds("".join, st.tuples(st.sampled_from("SrRgGmMPdDnN"), st.sampled_from(["", "'"])))
LINES = st.lists(st.tuples(SWARAS, st.sampled_from(["", ":2", ":3/2", " -", " - -"])), min_size=1)


@given(LINES, st.booleans())
def test_a_plain_line_is_sargam_with_the_same_swaras(beats, held):
    written = " ".join(map("".join, beats))
    played = swaras_to_play(written, held=held)
    swaras = [note.swara for note in parse(written).notes()]
    assert [note.swara for note in parse(played).notes()] == swaras
    assert held or "-" not in played
    assert ":" not in played


@pytest.mark.parametrize(
    ("written", "played"),
    [
        ("G / N", "G and N together"),
        ("g' S' (D)n:2 D", "g' S'; kan of D on n; D"),
        ("g' S' D---<n-:2 D", "g' S'; sparsh D to n; D"),
        ("G--/P--:2 G P", "meend G to P; G P"),
        ("(RSN,)S g~~ r~", "murki R S N, on S; gamak on g; andolan on r"),
        ("R<G>R {SR}:2", "sparsh R to G and krintan to R; zamzama of S and R"),
        ("(N)S/R", "kan of N on S and meend S to R"),
        ("tin tin na", "tin tin na"),
    ],
)
def test_what_the_hand_does_is_said_in_words(written, played):
    assert swaras_to_play(written) == played


def test_long_notes_are_held_where_lengths_say_something():
    assert swaras_to_play("G:2 P D S' D P G:3", held=True) == "G - P D S' D P G - -"


@pytest.mark.parametrize("skill", ["gap:S-P:together", "ornament:kan", "ornament:side:meend"])
def test_no_sign_of_a_program_is_left_in_what_a_question_plays(skill):
    for seed in range(8):
        played = swaras_to_play(
            make_question(skill, seed=seed, setting=Setting(sa_hz=140.0, met=(skill,))).sargam
        )
        assert not set(played) & set(":/\\<>(){}~-")
