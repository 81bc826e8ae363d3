"""The mixer: exact cues, fades without jumps, nothing above full scale, whatever is asked when."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from audio.format import SAMPLE_RATE
from audio.mixer import (
    CUE_STOP_FRAMES,
    DRONE_CHANGE_FRAMES,
    DRONE_START_FRAMES,
    SETTLE_FRAMES,
    Cue,
    Mixer,
)
from audio.ramps import Ramp, smooth


def sine(hz: float, frames: int, peak: float = 0.5) -> np.ndarray:
    places = np.arange(frames)
    return (peak * np.sin(2 * np.pi * hz * places / SAMPLE_RATE)).astype(np.float32)


def loop_of(hz: float, peak: float = 0.25) -> np.ndarray:
    """One second, seamless for whole hertz."""
    return sine(hz, SAMPLE_RATE, peak)


def cut(samples: np.ndarray, sizes: list[int]) -> Iterator[np.ndarray]:
    """`samples` in blocks of these sizes, over and over."""
    at, turn = 0, 0
    while at < len(samples):
        size = sizes[turn % len(sizes)]
        yield samples[at : at + size]
        at, turn = at + size, turn + 1


def read_all(mixer: Mixer, cue: Cue, frames: int) -> np.ndarray:
    """All that is read until the cue ends, waiting for its thread, as a patient device would."""
    parts = []
    while not cue.finished.is_set():
        while not cue.can_give(frames):
            time.sleep(0.0005)
        parts.append(mixer.read(frames))
    return np.concatenate(parts)


def biggest_jump(samples: np.ndarray) -> float:
    return float(np.abs(np.diff(samples)).max(initial=0.0))


@pytest.mark.parametrize("ahead", [True, False])
@settings(max_examples=40)
@given(
    sizes=st.lists(st.integers(0, 5000), min_size=1, max_size=5).filter(any),
    frames=st.integers(1, 3000),
    length=st.integers(0, 20_000),
    seed=st.integers(0, 2**32 - 1),
)
def test_a_cue_comes_out_bit_for_bit_however_it_is_cut(ahead, sizes, frames, length, seed):
    noise = np.random.default_rng(seed).uniform(-1, 1, length).astype(np.float32)
    mixer = Mixer(ahead=ahead)
    try:
        cue = mixer.play(cut(noise, sizes), frames=length)
        heard = read_all(mixer, cue, frames)
        assert cue.end_frame is not None
        assert np.array_equal(heard[cue.end_frame - length : cue.end_frame], noise)
        assert cue.done_frames == length
        assert mixer.underruns == 0
    finally:
        mixer.close()


def test_a_cue_that_breaks_off_is_brought_to_rest_in_three_milliseconds():
    mixer = Mixer(ahead=False)
    mixer.play([np.full(1000, 0.5, np.float32)], frames=1000)
    heard = mixer.read(2000)
    assert biggest_jump(heard[1000:]) < 0.5 * np.pi / 2 / SETTLE_FRAMES * 1.05
    assert not heard[1000 + SETTLE_FRAMES :].any()


def test_a_late_cue_is_counted_and_goes_on_where_it_stopped():
    gate = threading.Event()
    tone = sine(441, 3 * 4096)

    def slow() -> Iterator[np.ndarray]:
        yield tone[:4096]
        gate.wait(5)
        yield tone[4096:]

    mixer = Mixer()
    cue = mixer.play(slow(), frames=len(tone))
    while not cue.can_give(4096):
        time.sleep(0.001)
    before = mixer.read(6000)
    silent = mixer.read(1000)
    gate.set()
    while not cue.can_give(2 * 4096):
        time.sleep(0.001)
    after = mixer.read(2 * 4096 + 10)
    mixer.close()
    assert mixer.underruns == 1
    assert np.array_equal(before[:4096], tone[:4096])
    assert not silent.any()
    assert np.array_equal(after[SETTLE_FRAMES : 2 * 4096], tone[4096 + SETTLE_FRAMES :])
    assert biggest_jump(np.concatenate([before, silent, after])) < 0.5 * 2 * np.pi * 441 / 44_100


def test_an_endless_cue_is_pulled_only_half_a_second_ahead():
    pulled = 0

    def endless() -> Iterator[np.ndarray]:
        nonlocal pulled
        while True:
            pulled += 4096
            yield np.zeros(4096, np.float32)

    mixer = Mixer()
    cue = mixer.play(endless(), frames=10**9)
    for _ in range(100):
        while not cue.can_give(2048):
            time.sleep(0.0005)
        mixer.read(2048)
    time.sleep(0.02)
    assert pulled <= 100 * 2048 + SAMPLE_RATE // 2 + 2 * 4096
    mixer.close()


def test_an_error_in_the_making_of_a_cue_ends_it_softly_and_is_kept():
    def failing() -> Iterator[np.ndarray]:
        yield np.full(500, 0.4, np.float32)
        raise RuntimeError("no string")

    mixer = Mixer(ahead=False)
    cue = mixer.play(failing(), frames=9999)
    heard = mixer.read(1000)
    assert cue.finished.is_set()
    assert str(cue.error) == "no string"
    assert biggest_jump(heard[500:]) < 0.01


def test_stop_fades_the_cue_over_twenty_milliseconds():
    mixer = Mixer(ahead=False)
    cue = mixer.play([sine(441, SAMPLE_RATE)], frames=SAMPLE_RATE)
    mixer.read(1000)
    mixer.stop()
    heard = mixer.read(2000)
    assert biggest_jump(heard) < 0.5 * 2 * np.pi * 441 / SAMPLE_RATE * 1.1
    assert np.abs(heard[: CUE_STOP_FRAMES // 4]).max() > 0.4
    assert not heard[CUE_STOP_FRAMES:].any()
    assert cue.finished.is_set()


def test_a_new_cue_starts_at_once_while_the_old_one_fades():
    mixer = Mixer(ahead=False)
    old = mixer.play([sine(441, SAMPLE_RATE)], frames=SAMPLE_RATE)
    mixer.read(1000)
    tone = sine(882, 8000)
    new = mixer.play([tone], frames=8000)
    heard = mixer.read(8000)
    assert old.finished.is_set()
    assert new.start_frame == 1000
    assert np.array_equal(heard[CUE_STOP_FRAMES:], tone[CUE_STOP_FRAMES:])


def test_the_drone_starts_softly_and_then_goes_round_without_end():
    loop = loop_of(220)
    mixer = Mixer()
    mixer.set_drone(loop)
    heard = mixer.read(4 * SAMPLE_RATE)
    first = np.abs(heard[: DRONE_START_FRAMES // 10]).max()
    assert first < 0.03 * np.abs(loop).max()
    assert DRONE_START_FRAMES >= SAMPLE_RATE
    assert np.array_equal(heard[2 * SAMPLE_RATE : 3 * SAMPLE_RATE], loop)
    assert np.array_equal(heard[3 * SAMPLE_RATE :], loop)


def test_changing_the_drone_neither_jumps_nor_swells_nor_leaves_a_hole():
    mixer = Mixer()
    mixer.set_drone(loop_of(220))
    mixer.read(2 * SAMPLE_RATE)
    mixer.set_drone(loop_of(330))
    heard = mixer.read(SAMPLE_RATE)
    assert biggest_jump(heard) < 0.25 * 2 * np.pi * 330 / SAMPLE_RATE * 1.1
    change, after = np.split(heard, [DRONE_CHANGE_FRAMES])
    power = [float(np.mean(part**2)) for part in np.split(change, 20)]
    usual = 0.25**2 / 2
    assert max(power) < 1.2 * usual
    assert min(power) > 0.35 * usual
    assert np.mean(after**2) == pytest.approx(usual, rel=0.02)


def test_the_same_drone_asked_for_again_goes_on_untouched():
    loop = loop_of(220)
    mixer = Mixer()
    mixer.set_drone(loop)
    mixer.read(2 * SAMPLE_RATE)
    mixer.set_drone(loop.copy())
    assert np.array_equal(mixer.read(SAMPLE_RATE), loop)


def test_no_drone_means_that_it_fades_away():
    mixer = Mixer()
    mixer.set_drone(loop_of(220))
    mixer.read(2 * SAMPLE_RATE)
    mixer.set_drone(None)
    heard = mixer.read(SAMPLE_RATE)
    assert np.abs(heard[:100]).max() > 0
    assert not heard[DRONE_CHANGE_FRAMES:].any()


def test_the_loop_given_may_be_changed_afterwards():
    loop = loop_of(220)
    kept = loop.copy()
    mixer = Mixer()
    mixer.set_drone(loop)
    loop[:] = 1.0
    mixer.read(2 * SAMPLE_RATE)
    assert np.array_equal(mixer.read(SAMPLE_RATE), kept)


@pytest.mark.parametrize("asked", [1.0, 60.0, float("inf")])
def test_the_volume_never_goes_above_zero(asked):
    mixer = Mixer(ahead=False)
    mixer.volume_db = asked
    assert mixer.volume_db == 0.0
    mixer.play([sine(441, 5000)], frames=5000)
    assert np.array_equal(mixer.read(5000), sine(441, 5000))


def test_the_volume_moves_without_a_jump_to_the_decibels_asked():
    mixer = Mixer(ahead=False)
    tone = sine(441, 2 * SAMPLE_RATE)
    mixer.play([tone], frames=len(tone))
    mixer.read(1000)
    mixer.volume_db = -20
    heard = mixer.read(SAMPLE_RATE)
    assert biggest_jump(heard) < 0.5 * 2 * np.pi * 441 / SAMPLE_RATE * 1.02
    assert np.allclose(heard[5000:], 0.1 * tone[6000 : 1000 + SAMPLE_RATE], atol=1e-6)


def test_a_volume_that_is_no_number_is_refused():
    with pytest.raises(ValueError, match="0 or below: given nan"):
        Mixer().volume_db = float("nan")


def test_what_is_too_loud_or_no_number_stays_within_full_scale():
    mixer = Mixer(ahead=False)
    mixer.set_drone(np.full(100, 0.9, np.float32))
    mixer.read(2 * SAMPLE_RATE)
    bad = np.array([5.0, -7.0, np.nan, np.inf, -np.inf, 0.5], np.float32)
    mixer.play([bad], frames=6)
    heard = mixer.read(600)
    assert np.isfinite(heard).all()
    assert np.abs(heard).max() <= 1.0


def test_a_loop_without_frames_and_a_loop_of_two_channels_are_refused():
    with pytest.raises(ValueError, match="at least one frame"):
        Mixer().set_drone(np.zeros(0, np.float32))
    with pytest.raises(ValueError, match=r"mono: given \(2, 4\)"):
        Mixer().set_drone(np.zeros((2, 4), np.float32))


STEPS = st.lists(
    st.tuples(
        st.sampled_from(["play", "stop", "drone", "other drone", "no drone", "volume", "read"]),
        st.integers(1, 3000),
    ),
    max_size=40,
)


@settings(max_examples=60)
@given(steps=STEPS)
def test_whatever_is_asked_in_whatever_order_nothing_clicks_or_gets_loud(steps):
    peak = 0.2

    def faded(frames: int) -> np.ndarray:
        rise = np.asarray(smooth(np.minimum(np.arange(frames) / 300.0, 1.0)))
        return (sine(441, frames, peak) * rise * rise[::-1]).astype(np.float32)

    drones = {"drone": loop_of(220, peak), "other drone": loop_of(330, peak)}
    # One sine of this peak with its fades moves so much a frame at most.
    slope = peak * (2 * np.pi * 441 / SAMPLE_RATE + np.pi / 2 / 300)
    mixer = Mixer(ahead=False)
    cues: list[Cue] = []
    last = np.zeros(1, np.float32)
    for step, size in steps:
        if step == "play":
            cues.append(mixer.play(cut(faded(3 * size), [700]), frames=3 * size))
        elif step == "stop":
            mixer.stop()
        elif step == "volume":
            mixer.volume_db = -size / 100
        elif step != "read":
            mixer.set_drone(drones.get(step))
        sounding = sum(not cue.finished.is_set() for cue in cues)
        heard = np.concatenate([last, mixer.read(size)])
        assert biggest_jump(heard) < slope * (2 + sounding) + 1e-6
        assert np.abs(heard).max() <= 1.0
        last = heard[-1:]
    mixer.close()


def test_threads_may_ask_while_the_device_reads():
    mixer = Mixer()
    stop = threading.Event()
    failures: list[BaseException] = []

    def ask(seed: int) -> None:
        random = np.random.default_rng(seed)
        try:
            while not stop.is_set():
                choice = random.integers(4)
                if choice == 0:
                    mixer.play(cut(sine(441, 9000), [512]), frames=9000)
                elif choice == 1:
                    mixer.stop()
                elif choice == 2:
                    mixer.set_drone(loop_of(int(random.integers(100, 400))))
                else:
                    mixer.volume_db = -float(random.integers(40))
                time.sleep(0.001)
        except BaseException as error:
            failures.append(error)

    threads = [threading.Thread(target=ask, args=(seed,)) for seed in range(3)]
    for thread in threads:
        thread.start()
    for _ in range(100):
        assert np.abs(mixer.read(441)).max() <= 1.0
        time.sleep(0.004)
    stop.set()
    for thread in threads:
        thread.join()
    mixer.close()
    assert not failures


def test_closing_ends_the_threads_that_pull_and_may_be_done_again():
    mixer = Mixer()
    for _ in range(5):
        mixer.play(iter(lambda: np.zeros(4096, np.float32), None), frames=10**9)
    mixer.close()
    mixer.close()
    assert not [thread for thread in threading.enumerate() if thread.name == "kaan cue"]
    assert not mixer.read(1000).any()


@given(cuts=st.lists(st.integers(1, 400), min_size=1, max_size=10))
def test_a_ramp_does_not_depend_on_how_it_is_cut(cuts):
    whole, parts = Ramp(0.25), Ramp(0.25)
    whole.to(1.0, 500)
    parts.to(1.0, 500)
    expected = np.broadcast_to(whole.take(sum(cuts)), sum(cuts))
    got = np.concatenate([np.broadcast_to(parts.take(n), n) for n in cuts])
    assert np.array_equal(got, expected)


def test_a_rising_and_a_falling_gain_sum_to_one():
    level = np.linspace(0, 1, 1001)
    assert np.allclose(np.asarray(smooth(level)) + np.asarray(smooth(1 - level)), 1.0, atol=1e-12)
