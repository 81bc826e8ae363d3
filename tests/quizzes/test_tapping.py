"""Measures of taps against beats, beside those of mir_eval (`mir_eval.beat`), and keeping tali."""

from fractions import Fraction

import mir_eval
import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from quizzes.kept import skills_of
from quizzes.kinds.tap import TapKind
from quizzes.question import Setting
from quizzes.talas.tapping import WINDOW_MS, asynchrony, cemgil, f_measure

times = st.lists(st.integers(0, 4000), min_size=1, max_size=14, unique=True).map(sorted)
thirds = st.lists(st.integers(0, 12_000), min_size=1, max_size=14, unique=True).map(
    lambda found: [Fraction(number, 3) for number in sorted(found)]
)


def seconds(moments):
    return np.array([float(moment) / 1000 for moment in moments])


@given(thirds, times)
def test_f_measure_is_that_of_mir_eval(beats, taps):
    # At the very edge of the window floats and fractions may differ.
    assume(all(abs(abs(tap - beat) - WINDOW_MS) > 0.001 for tap in taps for beat in beats))
    theirs = mir_eval.beat.f_measure(seconds(beats), seconds(taps))
    assert f_measure(beats, taps) == pytest.approx(theirs, abs=1e-9)


@given(thirds, times)
def test_cemgils_accuracy_is_that_of_mir_eval(beats, taps):
    assume(len(beats) > 1)  # mir_eval halves tempos, too, which needs two beats
    theirs, _ = mir_eval.beat.cemgil(seconds(beats), seconds(taps))
    assert cemgil(beats, taps) == pytest.approx(theirs, abs=1e-9)


REACH_MS = 300


@given(thirds, times)
def test_each_tap_is_for_one_beat_or_extra_and_no_other_is_nearer(beats, taps):
    found = asynchrony(beats, taps, reach_ms=REACH_MS)
    assert len(found.offs_ms) == len(beats)
    assert len(found.met_ms) + found.extra == len(taps)
    for number, off in enumerate(found.offs_ms):
        if off is not None:
            assert abs(off) <= REACH_MS
            tap = float(beats[number]) + off
            assert min(abs(float(beat) - tap) for beat in beats) == pytest.approx(abs(off))
            assert any(abs(each - tap) < 1e-6 for each in taps)


@given(st.lists(st.integers(-240, 240), min_size=2, max_size=12))
def test_mean_and_spread_are_those_of_the_taps(offs):
    beats = [Fraction(1000 * (number + 1)) for number in range(len(offs))]
    found = asynchrony(
        beats, [int(beat) + off for beat, off in zip(beats, offs, strict=True)], reach_ms=REACH_MS
    )
    assert found.offs_ms == tuple(offs)
    assert found.mean_ms == pytest.approx(np.mean(offs))
    assert found.sd_ms == pytest.approx(np.std(offs, ddof=1))


def test_the_nearest_of_two_taps_counts_and_a_beat_without_one_is_told():
    found = asynchrony(
        [Fraction(1000), Fraction(2000), Fraction(3000)], [940, 1010, 3100], reach_ms=REACH_MS
    )
    assert found.offs_ms == (10.0, None, 100.0)
    assert found.extra == 1


def test_where_nothing_is_met_there_is_no_mean():
    found = asynchrony([Fraction(1000), Fraction(1200)], [1200 + REACH_MS + 1], reach_ms=REACH_MS)
    assert (found.mean_ms, found.sd_ms) == (None, None)


# Keeping tali.

KIND = TapKind()
SKILLS = tuple(skill.id for skill in skills_of(KIND.name))
skills = st.sampled_from(SKILLS)
seeds = st.integers(0, 2**63 - 1)
TEACHER = "[tala.rupak]\ntali = [1, 4]\nkhali = [6]\n"


def ask(skill, seed, tradition=""):
    return KIND.make(skill, seed=seed, setting=Setting(sa_hz=277.18, tradition=tradition))


def line(moments):
    return " ".join(str(round(moment)) for moment in moments)


def beat_of(question):
    """Milliseconds of a matra and of the first stroke, read again from the strokes and the words
    of the cue."""
    cue = question.cue
    per_min = Fraction(question.sargam.split(" at ")[1].split(":")[0])
    return 60_000 / per_min, 1000 * (cue.lead_s + cue.tabla[0].onset_s)


# Common practice, as on public syllabi: the matras that are clapped, and how many in all.
CLAPS = {
    "tintal": ((1, 5, 13), 16),
    "jhaptal": ((1, 3, 8), 10),
    "ektal": ((1, 5, 9, 11), 12),
    "rupak": ((4, 6), 7),
    "keharwa": ((1,), 8),
    "dhamar": ((1, 6, 11), 14),
}


@pytest.mark.parametrize("tala", CLAPS)
def test_claps_that_are_asked_are_those_of_syllabi_after_one_cycle(tala):
    question = ask(f"tap:tali:{tala}", 5)
    matra_ms, begins_ms = beat_of(question)
    claps, matras = CLAPS[tala]
    taps = question.tapped(question.right[0])
    cycles = len(taps) // len(claps)
    exact = [
        begins_ms + (cycle * matras + clap - 1) * float(matra_ms)
        for cycle in range(1, cycles + 1)
        for clap in claps
    ]
    assert taps == pytest.approx(exact, abs=0.6)
    assert f", {matras * (cycles + 1)} matras at" in question.sargam


@given(skills, seeds, st.integers(-200, 200))
def test_taps_all_early_or_late_are_right_within_the_window_and_else_worth_half(skill, seed, off):
    question = ask(skill, seed)
    for right in question.right:
        moved = line(tap + off for tap in question.tapped(right))
        assert KIND.mark(question, moved).credit == (1.0 if abs(off) <= WINDOW_MS else 0.5)


@given(skills, seeds)
def test_every_matra_tapped_earns_nothing_and_what_is_missed_or_added_is_never_right(skill, seed):
    question = ask(skill, seed)
    matra_ms, begins_ms = map(float, beat_of(question))
    whole = int(question.sargam.split(" matras at")[0].split()[-1])
    every = line(begins_ms + number * matra_ms for number in range(whole))
    assert KIND.mark(question, every).credit < 1e-3
    every_late = line(begins_ms + number * matra_ms + 100 for number in range(whole))
    assert KIND.mark(question, every_late).credit < 1e-3
    taps = question.tapped(question.right[0])
    more = KIND.mark(question, line(sorted([*taps, taps[0] + round(matra_ms)])))
    assert 0 < more.credit < 1
    if len(taps) > 1:
        assert KIND.mark(question, line(taps[1:])).credit < 1


@given(skills, seeds, st.integers(-230, 230))
def test_mean_and_beats_of_the_explanation_are_those_of_the_taps(skill, seed, off):
    question = ask(skill, seed)
    given_line = line(tap + off for tap in question.tapped(question.right[0]))
    told = KIND.explain(question, given_line)
    assert [met.off_ms for met in told.met] == [off] * len(told.met)
    if off:
        assert f"{abs(off)} ms {'early' if off < 0 else 'late'}" in told.why
    assert ("tap test" in told.why) == (WINDOW_MS < abs(off) <= 200)
    assert (told.given_cue is None) == (abs(off) <= WINDOW_MS)
    # A string sounds on each clap, to the millisecond.
    sounding = [1000 * (told.right_cue.lead_s + pluck.onset_s) for pluck in told.right_cue.strokes]
    assert sounding == pytest.approx(list(question.tapped(question.right[0])), abs=0.51)


def test_beats_are_named_by_the_hand():
    question = ask("tap:tali:tintal", 2)
    labels = [met.label for met in KIND.explain(question, question.right[0]).met]
    assert labels == ["sam, cycle 1", "2", "3", "sam, cycle 2", "2", "3"]


def test_a_clap_along_with_the_first_cycle_or_on_the_last_sam_does_no_harm():
    question = ask("tap:tali:jhaptal", 9)
    taps = question.tapped(question.right[0])
    matra_ms, begins_ms = map(float, beat_of(question))
    last_sam = begins_ms + 40 * matra_ms
    assert KIND.mark(question, line([begins_ms, begins_ms + 300, *taps, last_sam])).right


def test_rupak_may_be_clapped_on_its_sam_but_not_against_a_teachers_word():
    question = ask("tap:tali:rupak", 4)
    assert len(question.right) == 2
    taught = ask("tap:tali:rupak", 4, TEACHER)
    assert len(taught.right) == 1
    labels = {met.label.partition(",")[0] for met in KIND.explain(taught, taught.right[0]).met}
    assert labels == {"sam", "2"}
    for right in question.right:
        assert not KIND.mark(taught, right).right


def test_who_hears_nothing_is_right_no_oftener_than_is_said():
    # Taps as they fit one question, sent for all others: the best of many such guesses. In 3,000
    # questions it is right in 2.7 % for dadra.
    for skill in ("tap:tali:dadra", "tap:tali:tivra"):
        questions = [ask(skill, seed) for seed in range(240)]
        claps = np.array([question.tapped(question.right[0]) for question in questions])
        off = np.abs(claps[:, None] - claps[None, ::4]).max(axis=2)
        best = (off <= WINDOW_MS).sum(axis=0).max() - 1
        assert best / len(claps) < questions[0].chance + 0.02
        assert questions[0].chance < 0.05
