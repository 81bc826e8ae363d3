"""An explanation is heard over its own drone, also where the question had another or none."""

import numpy as np
import pytest

from audio.wav import read_wav
from quizzes import skill_of
from scheduler import Item
from tests.steps import ask

SKILL = "raga-tanpura:malkauns"
# Just ratios to middle Sa of what a tanpura's first string is tuned to (common practice).
FIRST_STRINGS = {"P": 3 / 4, "m": 2 / 3, "N": 15 / 16}


def loudness_before_the_phrase(playing):
    """Root mean square from 0.6 to 0.85 s: each sound here waits for its drone, or for silence."""
    samples = read_wav(playing.path)[round(0.6 * 44_100) : round(0.85 * 44_100)]
    return float(np.sqrt(np.mean(samples.astype(np.float64) ** 2)))


def strength_at(playing, hertz):
    """How much sounds within 1 Hz of this pitch."""
    samples = read_wav(playing.path).astype(np.float64)
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(len(samples)))) / len(samples)
    bins = np.fft.rfftfreq(len(samples), 1 / 44_100)
    return spectrum[np.abs(bins - hertz) < 1.0].max()


def first_string(playing, sa_hz):
    return max(FIRST_STRINGS, key=lambda name: strength_at(playing, FIRST_STRINGS[name] * sa_hz))


@pytest.fixture
def session(open_practice):
    """A practice in which nothing else is asked."""
    practice = open_practice(speaker="wav")
    skill = skill_of(SKILL)
    practice._items = (
        Item(skill.id, skill.kind, skill.family, skill.cluster, skill.chance, skill.seconds),
    )
    return practice.start(15)


def test_the_right_string_and_the_chosen_one_sound_after_a_question_without_a_drone(session):
    step = session.next()
    sa_hz = step.question.cue.sa_hz
    introduced = session.play()
    session.ask()
    cue = session.play()
    session.answer("P")
    right, given, again = session.play_right(), session.play_given(), session.play()
    assert first_string(introduced, sa_hz) == first_string(right, sa_hz) == "m"
    assert first_string(given, sa_hz) == "P"
    droned = [loudness_before_the_phrase(each) for each in (introduced, right, given)]
    bare = [loudness_before_the_phrase(each) for each in (cue, again)]
    assert min(droned) > 0.001
    assert max(bare) < 0.0001


def test_a_question_over_a_drone_keeps_it_in_its_explanation(open_practice):
    session = open_practice(speaker="wav").start(15)
    step = ask(session)
    cue = step.question.cue
    assert cue.drone is not None
    session.answer(step.question.right[0])
    assert first_string(session.play_right(), cue.sa_hz) == cue.drone.first
