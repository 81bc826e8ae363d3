"""A listener without an ear for pitch learns nothing from loudness, length, brightness or place.

The listener is given, of each cue, its loudness, its length and its spectral centroid and nothing
else; or only where on the screen the right answer stood. It learns from one half of the questions
with their answers and is tried on the other, then the other way round, and must do no better than
chance. The weighting of loudness is ITU-R BS.1770's, by pyloudnorm; the centroid is the usual one
(mean frequency weighted by amplitude, and by power) over frames of 23 ms. Over the whole cue at
once, a centroid by amplitude would be an ear for swings: those smear the lines of a long spectrum.

Not tried is what whole cues may tell since it is what is asked: whether loudness, timing or tone
changed (`what-changed:loudness` and so on), how many da and ra a line to be written has, and how
bright a gat is: the denser its strokes, the brighter, and by its strokes it is known.

Half of the families are asked at the usual Sa, half at a low one, since a voice that tells nothing
at one pitch may tell something at another.

What would be noticed nine times in ten: right answers in excess of chance, by 8 in a hundred for
`swara`, 13 to 17 for `gap`, `wider`, `tune` and `ornament`, 20 to 24 for the others, 27 to 31 for
`strokes` (and a test by itself plays one jhala with more and with fewer chikari), `slip` and
`palta` (of 1,600 questions of `slip:which`, tried by hand, the listener had 26 in a hundred right,
where 25 are by chance); a feature that moves by 1.1 of its own spread from one answer to the other
(two answers, 96 questions); and, for `swara` in all its saptaks, a feature that follows pitch with
a rank correlation of 0.13.
"""

from collections import Counter
from functools import cache

import numpy as np
import pyloudnorm
import pytest
import scipy.fft
import scipy.signal
from scipy.spatial import cKDTree
from scipy.stats import binomtest, kruskal, spearmanr

from audio import SAMPLE_RATE, SITAR_SA_HZ, render
from quizzes import KINDS, Setting, load_course, make_question
from quizzes.fresh import Fresh
from quizzes.kinds.strokes import WAYS

QUESTIONS = {
    "swara": 320,
    "gap": 224,
    "wider": 180,
    "tune": 160,
    "ornament": 150,
    "ornament:side": 120,
    "ornament:span": 80,
    "shade": 112,
    "what-changed:pitch": 112,
    "what-changed:where": 80,
    "what-changed:more": 96,
    "strokes:altered": 52,
    "strokes:chikari": 52,
    "strokes:jhala": 52,
    "slip": 48,
    "slip:which": 48,
    "palta:altered": 48,
}
"""How many are asked with sound, of each family of skills that share their answers."""
LOW_SA_HZ = 138.59
"""C sharp 3, of a low voice (common practice)."""
AT_LOW_SA = {
    "gap",
    "tune",
    "ornament:side",
    "shade",
    "what-changed:where",
    "strokes:altered",
    "strokes:jhala",
    "slip:which",
}
"""Families asked there; the others are asked at the usual Sa."""
NEIGHBOURS = 48
FRAME = 1024
MEETER = pyloudnorm.Meter(SAMPLE_RATE)


def skills_of(family):
    kind = family.partition(":")[0]
    ids = [skill.id for skill in KINDS[kind].skills()]
    if kind in ("swara", "gap", "wider", "tune"):  # as many as students meet
        ids = [skill.id for skill in load_course().skills if skill.kind == kind]
    if family == "gap":  # one direction, so that the listener need not learn three things at once
        return [skill for skill in ids if skill.endswith(":up")]
    if family == "swara":  # one saptak: twelve answers, so that a small leak would show
        return [skill for skill in ids if skill[-1] not in "',"]
    if family == "slip":  # in which group; what it was is a family of its own
        return [skill for skill in ids if skill != "slip:which"]
    if family == "ornament":  # which ornament; sides and spans are families of their own
        return [skill for skill in ids if skill.count(":") == 1]
    return [skill for skill in ids if f"{skill}:".startswith(f"{family}:")]


def questions(family, count=None):
    """Of the skills of one family at random, all of them met."""
    skills = skills_of(family)
    count = count or QUESTIONS[family]
    return asked_of(skills, count, sa_hz=LOW_SA_HZ if family in AT_LOW_SA else SITAR_SA_HZ)


def asked_of(skills, count, *, sa_hz):
    setting = Setting(sa_hz=sa_hz, met=tuple(skills))
    order = np.random.default_rng(1).integers(0, len(skills), count)
    return [asked_once(skills[index], seed, setting) for seed, index in enumerate(order)]


@cache
def asked_once(skill, seed, setting):
    """Several tests ask the same: with fewer questions of a family, its first ones."""
    return make_question(skill, seed=seed, setting=setting)


@cache
def weighting():
    """Frequencies of a frame in hertz, and what BS.1770's filters do there to power."""
    hz = np.fft.rfftfreq(FRAME, 1 / SAMPLE_RATE)
    responses = [
        stage.passband_gain * scipy.signal.freqz(stage.b, stage.a, hz, fs=SAMPLE_RATE)[1]
        for stage in MEETER._filters.values()
    ]
    return hz, np.abs(np.prod(responses, axis=0)) ** 2


def features(question):
    """(loudness in dB, length in s, two spectral centroids in Hz) of the cue without its drone.

    The drone would only hide what could be learnt.
    """
    return heard(sounding(question.cue))


def sounding(cue):
    """From its first sound on; to look for that takes time where all that sounds is looked at."""
    samples = render.render(cue, drone=False)
    return samples[(samples != 0).argmax() :]


def heard(samples):
    hz, weights = weighting()
    framed = np.lib.stride_tricks.sliding_window_view(samples, FRAME)[:: FRAME // 2]
    amplitudes = np.abs(scipy.fft.rfft(framed * np.hanning(FRAME).astype(np.float32), axis=1))
    amplitude = amplitudes.sum(axis=0, dtype=np.float64)
    power = (amplitudes**2).sum(axis=0, dtype=np.float64)
    # Frames that overlap by half, each with Hann's window, add up to 3/4 of the power (its mean
    # square is 3/8, twice), and a one-sided spectrum has half of it.
    mean_square = power @ weights * 2 / (0.75 * FRAME) / len(samples)
    return (
        10 * np.log10(mean_square),
        len(samples) / SAMPLE_RATE,
        hz @ amplitude / amplitude.sum(),
        hz @ power / power.sum(),
    )


@pytest.fixture(scope="module", params=QUESTIONS)
def asked(request):
    made = questions(request.param)
    return made, np.array([features(question) for question in made])


def successes(made, heard):
    """Right answers of the listener in each half, by its nearest memories of the other."""
    half = len(made) // 2
    first, second = range(half), range(half, len(made))
    return _right(made, heard, first, second) + _right(made, heard, second, first)


def _right(made, heard, known, tried):
    scaled = (heard - heard[known].mean(0)) / heard[known].std(0)
    memory = cKDTree(scaled[known])
    right = 0
    for index in tried:
        votes = dict.fromkeys((choice.id for choice in made[index].choices), 0.0)
        for distance, near in zip(
            *memory.query(scaled[index], k=min(NEIGHBOURS, len(known) // 2)), strict=True
        ):
            for answer in made[known[near]].right:
                if answer in votes:
                    votes[answer] += 1.0 / (0.1 + distance)
        right += max(votes, key=votes.__getitem__) in made[index].right
    return right


def chance(made):
    return float(np.mean([question.chance for question in made]))


def assert_no_better_than_chance(found, made, doubt):
    """One-sided; fails by chance `doubt` times for cues that tell nothing. The seeds are fixed."""
    verdict = binomtest(found, len(made), chance(made), alternative="greater")
    assert verdict.pvalue > doubt, f"{found} of {len(made)} right, chance {chance(made):.3f}"


def test_loudness_length_and_brightness_together_tell_nothing(asked):
    made, heard = asked
    assert_no_better_than_chance(successes(made, heard), made, 1e-3)


FEATURES = ("loudness", "length", "centroid", "power")


@pytest.mark.parametrize("feature", range(4), ids=FEATURES)
def test_no_feature_alone_tells_anything(asked, feature):
    made, heard = asked
    assert_no_better_than_chance(successes(made, heard[:, [feature]]), made, 1e-4)


@pytest.mark.parametrize("feature", range(4), ids=FEATURES)
def test_no_feature_is_spread_otherwise_for_one_answer_than_for_another(asked, feature):
    made, heard = asked
    by_answer = {}
    for question, values in zip(made, heard, strict=True):
        by_answer.setdefault(question.right[0], []).append(values[feature])
    groups = [values for values in by_answer.values() if len(values) >= 8]
    assert len(groups) > 1
    assert kruskal(*groups).pvalue > 1e-4


NOTES = 300
"""At each Sa. A rank correlation of 600 notes is off by 0.041 (one standard deviation), so that
0.13 is above the bound nine times in ten."""
HIGHEST_CORRELATION = 0.08


@pytest.fixture(scope="module")
def notes():
    """Cents above Sa, and the features, of single swaras in all saptaks at both Sas."""
    skills = [skill.id for skill in load_course().skills if skill.kind == "swara"]
    made = [
        question
        for sa_hz in (LOW_SA_HZ, SITAR_SA_HZ)
        for question in asked_of(skills, NOTES, sa_hz=sa_hz)
    ]
    cents = np.array([question.cue.strokes[0].path[0][1] for question in made])
    return cents, np.array([features(question) for question in made])


@pytest.mark.parametrize("feature", [0, 2, 3], ids=["loudness", "centroid", "power"])
def test_neither_loudness_nor_brightness_follows_the_pitch_of_a_note(notes, feature):
    cents, heard = notes
    assert np.ptp(cents) > 2400
    assert abs(spearmanr(cents, heard[:, feature]).statistic) < HIGHEST_CORRELATION


def test_the_listener_would_learn_if_there_were_something_to_learn():
    # The same listener, given the pitch as a fifth feature, does far better than chance.
    made = questions("swara", 400)
    pitch = np.array([[question.cue.strokes[0].path[0][1]] for question in made])
    noise = np.random.default_rng(2).normal(size=(len(made), 1))
    assert successes(made, np.hstack([pitch, 0.01 * noise])) > 160


@pytest.mark.parametrize("family", ["ornament", "ornament:side", "shade", "what-changed:more"])
def test_a_feature_that_gives_half_of_the_answers_away_is_noticed(family):
    made = questions(family)
    dice = np.random.default_rng(3)
    order = sorted({question.right[0] for question in made})
    told = np.array([order.index(question.right[0]) for question in made], np.float64)
    told += 0.05 * dice.normal(size=len(made))
    silent = dice.random(len(made)) < 0.5
    told[silent] = dice.uniform(0, len(order), silent.sum())
    with pytest.raises(AssertionError):
        assert_no_better_than_chance(successes(made, told[:, None]), made, 1e-4)


def test_loudness_from_frames_is_that_of_the_filters():
    samples = np.pad(render.render(questions("swara", 1)[0].cue, drone=False), FRAME)
    weighted = samples.astype(np.float64)
    for stage in MEETER._filters.values():
        weighted = stage.apply_filter(weighted)
    assert heard(samples)[0] == pytest.approx(10 * np.log10(np.mean(weighted**2)), abs=0.05)


@pytest.mark.parametrize("family", QUESTIONS)
def test_the_place_of_the_right_choice_tells_nothing(family):
    # Frets stand at their pitches, and sizes in their order: all answers are asked alike here.
    made = questions(family, 1000 if family == "swara" else 300)
    places = np.array(
        [[choice.id for choice in question.choices].index(question.right[0]) for question in made]
    )
    half = len(made) // 2
    favourite = int(np.bincount(places[:half]).argmax())
    found = int(np.sum(places[half:] == favourite))
    assert_no_better_than_chance(found, made[half:], 1e-3)


def test_writing_the_line_met_most_often_is_luck_as_it_is_reckoned():
    made = questions("strokes:write", 2000)
    half = len(made) // 2
    met = {}
    for question in made[:half]:
        met.setdefault(question.skill, Counter())[question.right[0]] += 1
    found = sum(
        met[question.skill].most_common(1)[0][0] in question.right for question in made[half:]
    )
    chances = np.array([question.chance for question in made[half:]])
    expected, spread = chances.sum(), np.sqrt((chances * (1 - chances)).sum())
    assert found < expected + 3.1 * spread


def test_loudness_and_length_of_a_gat_tell_nothing():
    made = questions("strokes:gat", 52)
    sounds = np.array([features(question) for question in made])
    assert_no_better_than_chance(successes(made, sounds[:, :2]), made, 1e-3)
    names = np.array([question.right[0] for question in made])
    for values in sounds[:, :2].T:
        assert kruskal(*(values[names == name] for name in set(names))).pvalue > 1e-4


@pytest.mark.parametrize("sa_hz", [LOW_SA_HZ, SITAR_SA_HZ])
def test_a_jhala_is_not_brighter_or_louder_the_more_chikari_it_has(sa_hz):
    # Each of 24 hands plays both, so that only their number differs. Chikari struck always alike
    # would change a centroid by 0.9 % at the low Sa and 1.3 % at the usual one, where that is found
    # out; the hands leave a third of one in doubt.
    ids = tuple(f"strokes:chikari:{count}" for count in (1, 2, 3, 4))

    def played(count, number):
        fresh = Fresh("jhala", number)
        cue, _ = WAYS["chikari"].cue(count, fresh, Setting(sa_hz=sa_hz, met=ids))
        loudness, _, *centroids = heard(sounding(cue))
        return loudness, *(100 * np.log(centroids))

    apart = np.mean([np.subtract(played("4", n), played("1", n)) for n in range(24)], axis=0)
    assert abs(apart[0]) < 0.2
    assert np.abs(apart[1:]).max() < 0.8


def test_the_length_of_a_line_of_strokes_tells_nothing_of_what_is_to_be_written():
    # The listener guesses among lines that it has met, of the same pad and as many places.
    made = questions("strokes:write", 600)
    lines = [question.right[0].split() for question in made]
    lengths = np.array([question.cue.duration_s for question in made])
    by_skill = {}
    for index, question in enumerate(made):
        by_skill.setdefault(question.skill, []).append(index)

    def places_right(lengths):
        right = 0
        for indices in by_skill.values():
            for index in indices:
                apart = [abs(lengths[other] - lengths[index]) for other in indices]
                near = indices[int(np.argsort(apart)[1])]
                right += sum(map(str.__eq__, lines[near], lines[index]))
        return right

    dice = np.random.default_rng(4)

    def mixed():
        other = lengths.copy()
        for indices in by_skill.values():
            other[indices] = dice.permutation(other[indices])
        return other

    luck = [places_right(mixed()) for _ in range(30)]
    assert places_right(lengths) < np.mean(luck) + 4 * np.std(luck)
    # It would be noticed if lines with more ra lasted longer.
    told = np.array([line.count("ra") for line in lines]) + 0.01 * lengths
    assert places_right(told) > np.mean(luck) + 4 * np.std(luck)
