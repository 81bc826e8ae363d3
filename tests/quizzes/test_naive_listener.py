"""A listener without an ear for pitch learns nothing from loudness, length, brightness or place.

The listener is given, of each cue, its loudness, its length and its spectral centroid and nothing
else; or only where on the screen the right answer stood. It learns from half of the questions with
their answers and is tried on the other half, and must do no better than chance. The weighting of
loudness is ITU-R BS.1770's, by pyloudnorm; the centroid is the usual one (mean frequency weighted
by amplitude, and by power).
"""

import numpy as np
import pyloudnorm
import pytest
from scipy.fft import next_fast_len
from scipy.spatial import cKDTree
from scipy.stats import binomtest

from audio import render
from quizzes import KINDS, Setting, load_course, make_question

QUESTIONS = {"swara": 440, "gap": 280, "wider": 160, "tune": 160}
NEIGHBOURS = 12
MEETER = pyloudnorm.Meter(44_100)


def questions(kind, count=None):
    """Of the skills of one kind in turn, all of them met."""
    skills = [skill.id for skill in load_course().skills if skill.kind == kind]
    if kind == "gap":  # one direction, so that the listener need not learn three things at once
        skills = [skill for skill in skills if skill.endswith(":up")]
    if kind == "swara":  # one saptak: twelve answers, so that a small leak would show
        skills = [skill for skill in skills if skill[-1] not in "',"]
    count = count or QUESTIONS[kind]
    setting = Setting(sa_hz=138.59, met=tuple(skills))
    order = np.random.default_rng(1).integers(0, len(skills), count)
    return [
        make_question(skills[index], seed=seed, setting=setting) for seed, index in enumerate(order)
    ]


def features(question):
    """(loudness in LUFS, length in s, two spectral centroids in Hz) of the cue without its drone.

    The drone would only hide what could be learnt.
    """
    samples = render.render(question.cue, drone=False).astype(np.float64)
    samples = samples[np.flatnonzero(samples)[0] :]
    weighted = samples
    for stage in MEETER._filters.values():
        weighted = stage.apply_filter(weighted)
    length = next_fast_len(len(samples), real=True)
    amplitude = np.abs(np.fft.rfft(samples, length))
    hz = np.fft.rfftfreq(length, 1 / 44_100)
    return (
        10 * np.log10(np.mean(weighted**2)),
        len(samples) / 44_100,
        hz @ amplitude / amplitude.sum(),
        hz @ amplitude**2 / (amplitude**2).sum(),
    )


@pytest.fixture(scope="module", params=["swara", "gap", "wider", "tune"])
def asked(request):
    made = questions(request.param)
    return made, np.array([features(question) for question in made])


def successes(made, heard):
    """Right answers of the listener in the second half, by its nearest memories of the first."""
    half = len(made) // 2
    scaled = (heard - heard[:half].mean(0)) / heard[:half].std(0)
    memory = cKDTree(scaled[:half])
    right = 0
    for question, at in zip(made[half:], scaled[half:], strict=True):
        votes = dict.fromkeys((choice.id for choice in question.choices), 0.0)
        for distance, index in zip(*memory.query(at, k=NEIGHBOURS * 4), strict=True):
            for answer in made[index].right:
                if answer in votes:
                    votes[answer] += 1.0 / (0.1 + distance)
        right += max(votes, key=votes.__getitem__) in question.right
    return right


def chance(made):
    return float(np.mean([question.chance for question in made[len(made) // 2 :]]))


def test_loudness_length_and_brightness_together_tell_nothing(asked):
    made, heard = asked
    trials = len(made) - len(made) // 2
    found = successes(made, heard)
    # One-sided; fails once in a thousand for cues that tell nothing, and the seeds are fixed.
    verdict = binomtest(found, trials, chance(made), alternative="greater")
    assert verdict.pvalue > 1e-3, f"{found} of {trials} right, chance {chance(made):.3f}"


@pytest.mark.parametrize("feature", range(4), ids=["loudness", "length", "centroid", "power"])
def test_no_feature_alone_tells_anything(asked, feature):
    made, heard = asked
    trials = len(made) - len(made) // 2
    found = successes(made, heard[:, [feature]])
    verdict = binomtest(found, trials, chance(made), alternative="greater")
    assert verdict.pvalue > 1e-3, f"{found} of {trials} right, chance {chance(made):.3f}"


def test_the_listener_would_learn_if_there_were_something_to_learn():
    # The same listener, given the pitch as a fifth feature, does far better than chance.
    made = questions("swara", 400)
    pitch = np.array([[question.cue.strokes[0].path[0][1]] for question in made])
    noise = np.random.default_rng(2).normal(size=(len(made), 1))
    assert successes(made, np.hstack([pitch, 0.01 * noise])) > 80


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "swara"])
def test_the_place_of_a_choice_tells_nothing(kind):
    # Frets of the string stand at their pitches and cannot be shuffled; all other choices can.
    made = questions(kind, 4000)
    half = len(made) // 2

    def place(question):
        return [choice.id for choice in question.choices].index(question.right[0])

    counts = np.bincount([place(question) for question in made[:half]])
    favourite = int(counts.argmax())
    found = sum(place(question) == favourite for question in made[half:])
    verdict = binomtest(found, len(made) - half, chance(made), alternative="greater")
    assert verdict.pvalue > 1e-3


def test_the_place_on_the_string_tells_nothing_when_all_swaras_are_asked_alike():
    made = questions("swara", 4000)
    half = len(made) // 2
    places = [
        [choice.id for choice in question.choices].index(question.right[0]) for question in made
    ]
    favourite = int(np.bincount(places[:half]).argmax())
    found = sum(place == favourite for place in places[half:])
    assert binomtest(found, half, chance(made), alternative="greater").pvalue > 1e-3
