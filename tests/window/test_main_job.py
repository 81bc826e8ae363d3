"""The main job, whole: a student opens Kaan, hears, touches answers, and is asked what was missed.

Real window, real touches, a real sound device whose monitor is recorded, a real log. Pitches are
measured in the recording from the partials of each note that lie apart from the drone's.
"""

import time
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from audio import render
from scheduler import Log
from tests.window.hands import frames, touch, wait_for
from tests.window.practising import answer

pytestmark = [pytest.mark.window, pytest.mark.sound]
pytest_plugins = ("tests.sound_device",)

QUESTIONS = 20
MISSED = (6, 12, 17)
HEARD_OF_FIVE = (1, 2, 4)
"""So many of each five cues are heard out; the others are answered while they begin."""
HEARD_S = 0.65
"""How much of each note is measured; answers are given when so much has sounded."""
AFTER_PLUCK_S = 0.12
RATE = 44_100
STEADY_CENTS = 0.7
BINS = 1 << 18


def plate(screen, text):
    """The one touchable thing with this text."""
    (found,) = (
        part
        for part in screen.walk()
        if hasattr(part, "press")
        and text in (getattr(part, "text", ""), getattr(part, "label", ""))
    )
    return found


class Heard:
    """One cue as it went out: its score, when its first stroke began, and whether the device kept
    its beat meanwhile; on a machine that is busy elsewhere it may come late and leave a gap."""

    def __init__(self, cue, playing, speaker):
        self.cue = cue
        self._speaker = speaker
        self._before = self._beat()
        self.whole = False
        length_s = render.frames_of(cue) / RATE
        self.began_at = playing.ends_at - length_s + cue.lead_s

    def _beat(self):
        return self._speaker._source, self._speaker.late_fetches, self._speaker.underruns

    def end(self):
        self.whole = self._beat() == self._before

    @property
    def measured_at(self):
        """When the last note has sounded long enough."""
        return self.began_at + max(s.onset_s for s in self.cue.strokes) + AFTER_PLUCK_S + HEARD_S


def practise(app, questions, *, missed=(), listen=True):
    """Begin, answer so many questions by touch, and leave; what was asked, heard, as most cues are,
    and missed: the first question from each of these numbers on that was not told just before."""
    drill = app._screen("drill")
    touch(plate(app.manager.current_screen, "Begin"))
    asked, heard, due, slips = [], [], list(missed), []
    for number in range(1, questions + 1):
        wait_for(lambda: drill.stage in ("new", "asking"), what="the next question")
        frames(2)
        is_told = drill.stage == "new"
        if is_told:
            touch(plate(drill, "Ask me"))
        question = drill._step.question
        asked.append(question)
        if listen and number % 5 in HEARD_OF_FIVE:
            heard.append(Heard(question.cue, drill._session._first_heard, app.practice.speaker))
            wait_for(lambda: time.monotonic() > heard[-1].measured_at, what="the cue")
            heard[-1].end()
        slips_now = not is_told and bool(due) and number >= due[0]
        if slips_now:
            due.pop(0)
            slips.append(number)
        answer(drill, wrong=slips_now)
        assert drill.stage == "answered"
        wrongly = ("Heard otherwise", "Partly right")
        assert drill.verdict.startswith(wrongly if slips_now else "Right")
        if number < questions:
            touch(plate(drill, "Next"))
    drill.back()
    frames(2)
    touch(plate(drill, "End it"))
    return asked, heard, slips


def position(recording, moment):
    """The recording's frame that arrived at a moment of time.monotonic()."""
    times, counts = np.array(recording.arrivals).T
    return int(np.interp(moment, times, counts))


def spectrum_of(part):
    """In decibels, bin by bin."""
    return 20 * np.log10(np.abs(np.fft.rfft(part * np.hanning(len(part)), BINS)) + 1e-12)


def partial_hz(spectrum, near_hz):
    """The peak of the spectrum near a frequency, by a parabola over three bins."""
    step = RATE / BINS
    low, high = int((near_hz - 2.0) / step), int((near_hz + 2.0) / step) + 1
    top = low + int(np.argmax(spectrum[low:high]))
    a, b, c = spectrum[top - 1 : top + 2]
    return (top + 0.5 * (a - c) / (a - 2 * b + c)) * step, b


def off_cents(part, cents, sa_hz, others_hz):
    """How far the note in `part` is off its pitch; partials near those of others are left out."""
    f0 = sa_hz * 2 ** (cents / 1200)
    spectrum = spectrum_of(part)
    found = []
    for k in range(1, 19):
        apart = min(abs(other * round(k * f0 / other) - k * f0) for other in others_hz)
        # Where another string has the very same partial it does no harm; nearby it beats.
        if 0.01 < apart < 9.0:
            continue
        hz, level_db = partial_hz(spectrum, k * f0)
        found.append((level_db, 1200 * np.log2(hz / (k * f0))))
    loudest = sorted(found, reverse=True)[:7]
    return float(np.median([off for _, off in loudest]))


def drone_hz(score):
    first = {"P": 3 / 4, "m": 2 / 3, "N": 15 / 16}[score.drone.first]
    return [score.sa_hz / 2, score.sa_hz, first * score.sa_hz]


def check_pitches(samples, recording, heard):
    """Every note of every cue that went out whole, in the recording, within a cent of its score."""
    measured = 0
    for one in (one for one in heard if one.whole):
        strokes = one.cue.strokes
        for stroke in strokes:
            start = position(recording, one.began_at + stroke.onset_s + AFTER_PLUCK_S)
            length = round(min(HEARD_S, stroke.duration_s - AFTER_PLUCK_S - 0.02) * RATE)
            part = samples[start : start + length].astype(np.float64)
            assert len(part) == length
            beside = [
                one.cue.sa_hz * 2 ** (other.path[0][1] / 1200)
                for other in strokes
                if other is not stroke and other.onset_s < stroke.end_s < other.end_s + 0.1
            ]
            others_hz = drone_hz(one.cue) + beside
            pieces = part[: length * 2 // 3], part[length // 6 :], part[length // 3 :]
            offs = [off_cents(p, stroke.path[0][1], one.cue.sa_hz, others_hz) for p in pieces]
            if np.ptp(offs) > STEADY_CENTS:
                continue  # the note is steady: where it seems not to be, the recorder left a gap
            off = float(np.median(offs))
            assert abs(off) < 1.0, (one.cue, off)
            measured += 1
    return measured


def test_a_student_practises_and_is_asked_again_what_was_missed(null_sink, open_app):
    with null_sink.recording() as recording:
        app = open_app((600, 960), speaker="stream", minutes=15, seed=1)
        assert app.practice.speaker.name == "stream"
        asked, heard, slips = practise(app, QUESTIONS, missed=MISSED)
        samples = recording.samples
    assert app.manager.current == "summary"
    assert app.practice.speaker.trouble is None

    with Log.reading(app.practice.folder / "log.sqlite") as log:
        rows = list(log.answers())
    assert len(rows) == QUESTIONS
    assert [row.skill for row in rows] == [question.skill for question in asked]
    assert [number for number, row in enumerate(rows, 1) if row.credit < 1] == slips
    assert len(slips) == len(MISSED)

    assert check_pitches(samples, recording, heard) >= QUESTIONS // 2

    last = {row.skill: row for row in rows}
    missed = {skill for skill, row in last.items() if row.credit < 1}
    assert missed  # the others were asked again already, and known
    app.practice._now = lambda: datetime.now(UTC) + timedelta(days=1)  # it is tomorrow
    touch(plate(app.manager.current_screen, "Done"))
    again, *_ = practise(app, 16, listen=False)
    assert missed <= {question.skill for question in again}
