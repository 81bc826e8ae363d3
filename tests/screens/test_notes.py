"""Names of notes for Sa, against published frequencies."""

import pytest

from screens.notes import SA_NOTES, hz_of_note, note_of

PUBLISHED_HZ = {
    # Frequencies of the equal-tempered scale with A4 = 440 Hz, as physics textbooks tabulate
    # them (for instance Michigan Technological University, "Frequencies of Musical Notes").
    "G2": 98.00,
    "A2": 110.00,
    "C3": 130.81,
    "C#3": 138.59,
    "D3": 146.83,
    "G3": 196.00,
    "B3": 246.94,
    "D4": 293.66,
}


@pytest.mark.parametrize(("name", "hz"), PUBLISHED_HZ.items())
def test_a_note_has_the_published_frequency(name, hz):
    assert hz_of_note(SA_NOTES.index(name)) == pytest.approx(hz, abs=0.006)


@pytest.mark.parametrize("number", range(len(SA_NOTES)))
def test_a_note_is_found_again_by_its_frequency(number):
    found, cents = note_of(hz_of_note(number))
    assert found == number
    assert abs(cents) < 0.1


def test_a_sa_between_two_notes_is_told_by_how_far_it_lies_off():
    number, cents = note_of(140.0)
    assert SA_NOTES[number] == "C#3"
    assert cents == pytest.approx(17.5, abs=0.1)
