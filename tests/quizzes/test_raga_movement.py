"""May a raga make this phrase: worked examples from the trade, and laws over all ragas."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio.tuning import Swara
from quizzes.ragas import admits, break_of, ragas, surely_breaks
from quizzes.ragas.movement import passed, turn_of

ALL = ragas()


def swaras(text):
    return tuple(map(Swara.read, text.split()))


def lifted(phrase, octaves):
    return tuple(Swara(swara.semitone, swara.octave + octaves) for swara in phrase)


phrases = st.lists(st.integers(-7, 19).map(Swara.at), min_size=2, max_size=9)


# What breaks a raga: textbook examples (common practice).
BREAKS = [
    ("bhupali", "S R G m", "note", 3, 3),
    ("bihag", "S R G m P", "run", 1, 2),
    ("bihag", "G m P D N S'", "run", 3, 4),
    ("bhimpalasi", "S R g m P", "run", 1, 2),
    ("jaunpuri", "S R g m P", "run", 2, 3),
    ("asavari", "m P d n S'", "run", 3, 4),
    ("malkauns", "g m P d", "note", 2, 2),
]


@pytest.mark.parametrize(("raga", "text", "by", "of", "at"), BREAKS)
def test_what_a_teacher_would_stop_surely_breaks_the_raga(raga, text, by, of, at):
    found = surely_breaks(ALL[raga], swaras(text))
    assert (found.by, found.of, found.at) == (by, of, at)
    assert not admits(ALL[raga], swaras(text))


# What a raga does although a swara is omitted in that direction (common practice).
@pytest.mark.parametrize(
    ("raga", "text"),
    [
        ("bihag", "S' N D P m G R S"),  # both pass on the way down
        ("desh", "m G R"),
        ("puriya_dhanashri", "N, r G M P"),  # a rise may end on what it would not pass
        ("yaman", "S R G M P"),
        ("bhairavi", "S R G m P"),  # light playing touches all twelve
        ("jaijaiwanti", "R g R S"),
        ("bageshri", "m P D m g"),  # its own oblique Pa
    ],
)
def test_what_is_taught_does_not_surely_break_the_raga(raga, text):
    assert surely_breaks(ALL[raga], swaras(text)) is None


def test_a_straight_run_is_foreign_to_a_raga_that_turns_but_proves_nothing():
    run = swaras("S R G m P")
    assert break_of(ALL["gaud_sarang"], run) is not None
    assert surely_breaks(ALL["gaud_sarang"], run) is None


@pytest.mark.parametrize("raga", ALL.values(), ids=lambda raga: raga.id)
def test_a_raga_admits_what_it_is_known_by(raga):
    for phrase in (*(each.swaras for each in raga.phrases), *ways(raga)):
        assert break_of(raga, phrase) is None, " ".join(map(str, phrase))
        assert surely_breaks(raga, phrase) is None


def ways(raga):
    return raga.scale.value.aroha, raga.scale.value.avaroha


@given(st.sampled_from(sorted(ALL)), phrases)
def test_what_surely_breaks_a_raga_is_never_admitted(raga, phrase):
    if surely_breaks(ALL[raga], phrase) is not None:
        assert not admits(ALL[raga], phrase)


@given(st.sampled_from(sorted(ALL)), phrases, st.sampled_from([-1, 1]))
def test_the_saptak_does_not_count(raga, phrase, octaves):
    assert break_of(ALL[raga], phrase) == break_of(ALL[raga], lifted(phrase, octaves))
    assert surely_breaks(ALL[raga], phrase) == surely_breaks(ALL[raga], lifted(phrase, octaves))


@given(st.sampled_from(sorted(ALL)), phrases, st.integers(1, 8))
def test_a_break_is_known_with_the_swara_at_which_it_is_told(raga, phrase, cut):
    """Revealed swara by swara, a phrase breaks when its break says so and stays broken."""
    whole = surely_breaks(ALL[raga], phrase)
    part = surely_breaks(ALL[raga], phrase[:cut])
    assert (part is not None) == (whole is not None and whole.at < cut)


@given(phrases)
def test_a_swara_is_passed_between_a_lower_and_a_higher_one(phrase):
    found = dict(passed(phrase))
    for place in range(1, len(phrase) - 1):
        steps = [swara.steps for swara in phrase[place - 1 : place + 2]]
        straight = steps in (sorted(set(steps)), sorted(set(steps), reverse=True))
        assert (place in found) == straight
        assert not straight or found[place] == (steps[0] < steps[2])


@given(phrases, st.integers(-1, 1))
def test_a_turn_has_no_saptak(phrase, octaves):
    assert turn_of(phrase) == turn_of(lifted(phrase, octaves))
