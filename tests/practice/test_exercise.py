"""Time on the instrument: the palta of the day, its theka, the ladder, minutes, and rest."""

import numpy as np
import pytest

from audio.format import SAMPLE_RATE
from practice.errors import StepError
from practice.exercise import REST_S, Exercise
from practice.instrument import AGAIN, CLEAN, GIVEN, SLOWER
from practice.ladder import REST, REST_AFTER_HANDS_MIN, Ladder
from scheduler import LogError
from tests.audio.meters import drum_onsets
from tests.practice.exercising import Streaming, Time, Whole, minutes_in, said_in


def round_s(exercise):
    return exercise.varied.tala.matras * 60 / exercise.tempo


def test_the_palta_of_a_day_is_on_view_again_and_another_is_never_one_given(on, clock):
    practice, exercise = on()
    first = exercise.varied
    exercise.open()
    assert exercise.varied is first
    exercise.hear()
    exercise.another()
    second = exercise.varied
    assert second.key != first.key
    exercise.start()
    exercise.open()
    assert exercise.varied is second
    again = practice.exercise()
    again.open()
    assert (again.varied.key, again.varied.line) == (second.key, second.line)
    exercise.stop()
    clock.forward(days=1)
    exercise.open()
    assert exercise.varied.key not in (first.key, second.key)
    exercise.hear()
    assert [said for said, _ in said_in(practice)] == [GIVEN] * 3
    assert len({each.key for each in practice.paltas_noted()}) == 3


def test_what_is_only_looked_at_is_not_given(on):
    practice, exercise = on()
    first, seen = exercise.varied, {exercise.varied.key}
    for _ in range(4):
        exercise.another()
        assert exercise.varied.n == 3
        seen.add(exercise.varied.key)
    assert len(seen) == 5
    last = exercise.varied
    exercise.open()
    assert exercise.varied is last
    assert practice.paltas_noted() == ()
    again = practice.exercise()
    again.open()
    assert again.varied == first
    exercise.start()
    exercise.hear()  # not while it is played to
    assert exercise.is_playing
    assert {each.key for each in practice.paltas_noted()} == {last.key}


def test_a_word_counts_once_for_what_has_sounded(on, time):
    practice, exercise = on()
    exercise.start()
    time.go(exercise, round_s(exercise) / 2)
    tempo = exercise.tempo
    exercise.stop()
    for _ in range(5):
        exercise.clean()
    assert exercise.tempo == Ladder().at(tempo).after(CLEAN).tempo
    exercise.slower()  # thought better of
    assert exercise.tempo == Ladder().at(tempo).after(SLOWER).tempo
    noted = [each for each in practice.paltas_noted() if each.said != GIVEN]
    assert [(each.said, each.tempo) for each in noted] == [(CLEAN, tempo), (SLOWER, tempo)]
    assert {(each.detail["n"], each.detail["layout"]) for each in noted} == {
        (exercise.varied.n, exercise.varied.layout.id)
    }
    exercise.start()
    time.go(exercise, round_s(exercise) / 2)
    exercise.clean()
    assert practice.paltas_noted()[-1].said == CLEAN


def test_what_was_noted_is_handed_on_when_it_is_done(on, monkeypatch):
    practice, exercise = on()
    looks = []
    monkeypatch.setattr(practice.syncing, "look", lambda *_: looks.append(1))
    exercise.done()
    assert looks == []
    exercise.hear()
    exercise.done()
    exercise.done()
    assert looks == [1]


def test_a_rest_ends_by_the_clock_on_the_wall_too(open_practice, time):
    practice, wall = open_practice(), Time()
    practice.speaker = Whole(time)
    exercise = Exercise(practice, clock=time, wall=wall)
    exercise.open()
    exercise.start()
    exercise._in_one_go_s = 60 * REST_AFTER_HANDS_MIN
    exercise.stop()
    wall.now += REST_S - 1  # while the other clock stands still
    assert exercise.rest_left_s > 0
    wall.now += 1
    assert exercise.rest_left_s == 0


def test_in_a_rest_the_palta_can_be_heard_and_who_would_start_is_told_to_rest(on, time):
    _, exercise = on()
    exercise.start()
    exercise._in_one_go_s = 60 * REST_AFTER_HANDS_MIN
    exercise.stop()
    exercise.hear()
    assert (exercise.is_heard, exercise.rest_left_s > 0) == (True, True)
    with pytest.raises(StepError, match="rest"):
        exercise.start()
    exercise.play_on()
    assert exercise.is_playing


def test_the_same_day_goes_on_a_little_below_where_it_had_come_to(on, time):
    practice, exercise = on()
    exercise.start()
    for _ in range(4):
        exercise.clean()
        time.go(exercise, round_s(exercise) + 1)
    begun, clean = exercise.varied.tempo, said_in(practice)[-1][1]
    assert clean > begun
    again = practice.exercise()
    again.open()
    assert begun <= again.tempo < clean


@pytest.mark.parametrize("sort", [Streaming, Whole])
def test_the_tempo_changes_at_the_next_sam_and_what_was_said_is_noted_with_what_sounded(
    on, time, sort
):
    practice, exercise = on(sort)
    begun = exercise.tempo
    assert exercise.beat() is None
    exercise.start()
    time.go(exercise, 2.0)
    assert exercise.beat().tempo == begun
    exercise.clean()
    exercise.clean()  # of the same round
    faster = Ladder().at(begun).after(CLEAN).tempo
    assert (exercise.tempo, exercise.next_tempo) == (begun, faster)
    seen = []
    while exercise.tempo == begun:
        seen.append(exercise.beat().place)
        time.go(exercise, 0.05)
    assert seen == sorted(seen)  # not before the round was over
    assert seen[-1] > exercise.varied.tala.matras - 0.2
    assert exercise.tempo == faster
    exercise.again()
    exercise.slower()
    slower = Ladder().at(faster).after(SLOWER).tempo
    assert exercise.next_tempo == slower < faster
    time.go(exercise, round_s(exercise) + 0.2)
    assert exercise.tempo == slower
    told = [(CLEAN, begun), (AGAIN, faster), (SLOWER, faster)]
    assert said_in(practice)[1:] == told
    exercise.stop()
    exercise.clean()  # in silence it moves at once
    assert exercise.tempo == exercise.next_tempo > slower


def test_what_is_streamed_has_no_gap_and_the_tempo_that_is_shown(on, time):
    practice, exercise = on(Streaming)
    exercise.start()
    time.go(exercise, 0.5)
    began = exercise.tempo
    exercise.clean()
    time.go(exercise, 1.6 * round_s(exercise))
    faster = exercise.tempo
    sound = np.concatenate(practice.speaker.heard)
    exercise.stop()
    onsets = drum_onsets(sound) / SAMPLE_RATE
    matras = exercise.varied.tala.matras
    bols = len(exercise.varied.tala.theka.replace("|", "").split())
    assert bols == matras == 16  # tintal: one stroke a matra
    first, later = np.diff(onsets[:17]), np.diff(onsets[16:-1])  # cut off in the middle
    assert first == pytest.approx(60 / began, abs=0.003)
    assert later == pytest.approx(60 / faster, abs=0.003)
    assert len(later) > 5
    assert faster > began


def test_a_speaker_that_knows_whole_sounds_gets_the_next_one_on_a_sam(on, time):
    practice, exercise = on()
    exercise.start()
    time.go(exercise, 130)
    played = np.diff(practice.speaker.played)
    rounds = played[1:] / round_s(exercise)  # the first one has a lead
    assert len(rounds) >= 3
    assert rounds == pytest.approx(np.round(rounds), abs=0.01)


def test_minutes_count_only_while_the_theka_sounds(on, time):
    practice, exercise = on()
    time.go(exercise, 90)
    exercise.hear()
    time.go(exercise, 20)
    assert exercise.minutes_today == 0.0
    exercise.start()
    time.go(exercise, 120)
    assert minutes_in(practice) == []
    exercise.stop()
    time.go(exercise, 60)
    assert minutes_in(practice) == [pytest.approx(2.0, abs=0.03)]
    assert exercise.minutes_today == pytest.approx(2.0, abs=0.03)
    exercise.start()
    time.go(exercise, 30)
    time.now += 7200  # the device slept
    exercise.tick()
    exercise.done()
    assert sum(minutes_in(practice)) < 3.1
    assert practice.minutes_today() == pytest.approx(exercise.minutes_today, abs=0.02)


def test_who_is_cut_off_loses_no_more_than_five_minutes(on, time):
    practice, exercise = on()
    exercise.start()
    time.go(exercise, 6 * 60)
    assert minutes_in(practice) == [pytest.approx(5.0, abs=0.02)]


@pytest.mark.parametrize("sort", [Streaming, Whole])
def test_at_the_cautions_time_it_ends_on_a_sam_and_the_hands_rest(on, time, sort):
    practice, exercise = on(sort)
    exercise._in_one_go_s = 60 * REST_AFTER_HANDS_MIN - 30
    exercise.start()
    last = 0.0
    while exercise.is_playing:
        beat = exercise.beat()
        last = max(last, beat.place) if beat else last
        time.go(exercise, 0.05)
    assert last > exercise.varied.tala.matras - 0.2  # the round was played out
    assert sum(minutes_in(practice)) * 60 < 30 + 2 * round_s(exercise) + 2
    assert exercise.rest_left_s == pytest.approx(REST_S, abs=0.1)
    assert "five minutes" in REST
    with pytest.raises(StepError, match="rest"):
        exercise.start()
    time.go(exercise, REST_S + 1, step_s=1.0)
    assert exercise.rest_left_s == 0
    exercise.start()
    time.go(exercise, 120)
    assert exercise.is_playing
    assert not exercise._is_ending


def test_who_plays_on_by_their_word_is_reminded_sooner(on, time):
    _, exercise = on()
    exercise._in_one_go_s = 60 * REST_AFTER_HANDS_MIN
    exercise.start()
    time.go(exercise, 5)
    exercise.stop()
    assert exercise.rest_left_s > 0
    exercise.play_on()
    played_s = 0
    while exercise.is_playing:
        time.go(exercise, 1)
        played_s += 1
    assert 290 < played_s < 300 + round_s(exercise) + 10
    assert exercise.rest_left_s > 0


def test_what_the_log_does_not_take_is_told_and_written_later(on, time, monkeypatch):
    practice, exercise = on()
    exercise.start()
    time.go(exercise, 60)
    append = practice._log.append_all

    def refuse(rows):
        raise LogError("log", wrong="another program holds it", remedy="Close that")

    monkeypatch.setattr(practice._log, "append_all", refuse)
    exercise.clean()
    exercise.stop()
    assert "another program" in exercise.trouble
    assert minutes_in(practice) == []
    monkeypatch.setattr(practice._log, "append_all", append)
    exercise.done()
    assert exercise.trouble == ""
    assert [said for said, _ in said_in(practice)] == [GIVEN, CLEAN]
    assert minutes_in(practice) == [pytest.approx(1.0, abs=0.03)]


def test_where_the_log_cannot_be_read_there_is_a_word_and_no_palta(on, monkeypatch):
    practice, _ = on()
    exercise = practice.exercise()

    def refuse(*_):
        raise LogError("log", wrong="it is torn", remedy="Mend it")

    monkeypatch.setattr(practice._log, "notes", refuse)
    exercise.open()
    assert (exercise.varied, exercise.trouble) == (None, "log: it is torn. Mend it")
    for act in (exercise.hear, exercise.start, exercise.clean, exercise.tick, exercise.done):
        act()
    assert not exercise.is_playing
