"""What a time on the instrument leaves behind, shows and makes silent: read back from the log and
from the sound."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from audio.format import SAMPLE_RATE
from audio.theka import SLOWEST
from practice import accompaniment
from practice.instrument import CLEAN, GIVEN, SLOWER, PaltaNoted
from practice.ladder import Ladder, ladder_for
from practice.varying import of_day, vary
from tests.audio.meters import drum_onsets
from tests.practice.exercising import Streaming, Whole, minutes_in, said_in


class Kept(Whole):
    """Keeps the sound of what it plays."""

    def play(self, blocks, *, frames):
        self.sound = np.concatenate([*blocks])
        return super().play(iter([self.sound]), frames=frames)


class Late(Whole):
    """Is heard only some time after it was told to play."""

    latency_s = 0.3

    def play(self, blocks, *, frames):
        return super().play(blocks, frames=frames + round(self.latency_s * SAMPLE_RATE))


def test_what_is_said_of_a_palta_is_noted_with_its_size_and_layout(on, time):
    practice, exercise = on()
    exercise.start()
    time.go(exercise, 2)
    exercise.clean()
    varied, noted = exercise.varied, practice.paltas_noted()
    assert noted[-1].said == CLEAN
    same, wider = (
        ladder_for(noted, swaras=n, layout=varied.layout.id).tempo for n in (varied.n, varied.n + 1)
    )
    assert wider < same
    assert noted[-1].detail["layout"] == varied.layout.id


def test_nothing_is_said_of_what_has_not_sounded(on):
    practice, exercise = on()
    begun = exercise.next_tempo
    exercise.clean()
    exercise.slower()
    assert (said_in(practice), exercise.next_tempo) == ([], begun)


def test_the_minutes_of_before_are_counted_in_after_a_new_start(on, time):
    practice, exercise = on()
    exercise.start()
    time.go(exercise, 90)
    exercise.done()
    again = practice.exercise()
    again.open()
    assert again.minutes_today == pytest.approx(1.5, abs=0.03)


def test_a_moment_of_the_theka_is_no_practice_yet_and_is_not_lost(on, time):
    practice, exercise = on()
    for _ in range(3):
        exercise.start()
        time.go(exercise, 2.5)
        exercise.stop()
        if not minutes_in(practice):
            assert exercise.minutes_today * 60 < 3.0
    assert min(minutes_in(practice)) * 60 >= 3.0


def test_what_a_device_slept_through_is_not_counted(on, time):
    practice, exercise = on(Streaming)
    exercise.start()
    time.go(exercise, 5)
    time.now += 90
    exercise.tick()
    exercise.done()
    assert sum(minutes_in(practice)) * 60 < 5 + 31


def test_the_palta_heard_once_is_silent_when_it_is_stopped(on, time):
    practice, exercise = on(Streaming)
    exercise.hear()
    time.go(exercise, 3)
    practice.speaker.read()
    exercise.stop()
    time.go(exercise, 1)
    practice.speaker.read()
    played, after = practice.speaker.heard
    assert np.abs(played).max() > 0.01
    assert np.abs(after[-SAMPLE_RATE // 4 :]).max() < 1e-4


def test_a_palta_heard_to_its_end_is_over(on, time):
    _, exercise = on()
    exercise.hear()
    time.go(exercise, 1)
    assert exercise.is_heard
    time.go(exercise, 120, step_s=1.0)
    assert not exercise.is_heard


def test_a_fast_theka_that_is_given_in_pieces_changes_at_the_next_sam_too(on, time):
    practice, exercise = on()
    exercise._tempo = 240.0
    exercise.start()
    time.go(exercise, 2)
    exercise.slower()
    waited_s = 0.0
    while exercise.tempo == 240.0:
        time.go(exercise, 0.05)
        waited_s += 0.05
    assert waited_s < exercise.varied.tala.matras * 60 / 240 + 0.1
    assert len(practice.speaker.played) == 2


def test_a_speaker_that_comes_late_is_given_the_next_piece_so_much_sooner(on, time):
    practice, exercise = on(Late)
    exercise._tempo = 240.0
    exercise.start()
    time.go(exercise, 50)
    _, *gaps = np.diff(practice.speaker.played)  # before the first piece the drone is heard alone
    assert gaps
    round_s = exercise.varied.tala.matras * 60 / 240
    for gap in gaps:
        assert gap == pytest.approx(round(gap / round_s) * round_s, abs=0.11)


def test_of_a_piece_the_sam_that_the_next_one_begins_with_is_not_struck(on, monkeypatch):
    monkeypatch.setattr(accompaniment, "PIECE_S", 4.0)
    practice, exercise = on(Kept)
    exercise._tempo = 240.0
    exercise.start()
    bols = len(exercise.varied.tala.theka.replace("|", "").split())
    assert bols == exercise.varied.tala.matras == 16  # tintal: one stroke a matra
    assert len(drum_onsets(practice.speaker.sound)) % bols == 0


def test_the_matra_that_is_shown_is_the_one_that_sounds(on, time):
    practice, exercise = on(Streaming)
    exercise.start()
    shown = []
    for _ in range(60):
        time.go(exercise, 0.05)
        beat = exercise.beat()
        if beat is not None:
            shown.append((time.now - practice.speaker.begun, beat.place))
    practice.speaker.read()
    first_s = drum_onsets(np.concatenate(practice.speaker.heard))[0] / SAMPLE_RATE
    assert len(shown) > 20
    for at_s, place in shown:
        assert place == pytest.approx((at_s - first_s) * exercise.tempo / 60, abs=0.1)


# The ladder, and the day.

DAY = datetime(2026, 3, 2, 18, tzinfo=UTC)


def noted(said, tempo=0.0, day=0, n=3, key="some", detail=None):
    detail = {"n": n, "layout": "two"} if detail is None else detail
    return PaltaNoted(key, said, tempo, DAY + timedelta(days=day), detail)


def begins(*some, n=3):
    return ladder_for(some, swaras=n, layout="two").tempo


@pytest.mark.parametrize("tempo", range(round(SLOWEST), 40))
def test_the_slowest_rungs_lead_up_and_down_as_well(tempo):
    ladder = Ladder(float(tempo))
    assert ladder.after(CLEAN).tempo > tempo
    assert ladder.after(SLOWER).tempo < tempo or tempo == SLOWEST


def test_a_day_begins_no_lower_than_the_last_one_did():
    early = noted(CLEAN, 60.0)
    assert begins(early, noted(CLEAN, 100.0, 1), noted(CLEAN, 104.0, 1)) == 100
    # And no higher than where that came to, were it lower than it began.
    assert begins(noted(CLEAN, 100.0, 1), noted(CLEAN, 60.0, 1)) == 60


def test_true_is_no_number_of_swaras():
    told_otherwise = noted(CLEAN, 100.0, detail={"n": True, "layout": "two"})
    assert begins(told_otherwise) == begins(noted(CLEAN, 100.0))


def test_smaller_groups_begin_no_faster():
    assert begins(noted(CLEAN, 100.0, n=5)) == begins(noted(CLEAN, 100.0, n=3))


def test_what_is_said_after_midnight_does_not_make_yesterdays_palta_todays():
    given = vary([], begun=(), day=DAY.date(), student="mira")
    some = [noted(said, 60.0, day, key=given.key, detail=given.detail) for said, day in
            ((GIVEN, 0), (CLEAN, 1))]  # fmt: skip
    assert of_day(some, DAY.date()).key == given.key
    assert of_day(some, DAY.date() + timedelta(days=1)) is None
