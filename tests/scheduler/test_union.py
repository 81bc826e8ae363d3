"""Files of a student's devices come to the same log in any order, however often, by any way."""

import random
from contextlib import ExitStack
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler import Log, Memory, RowConflictError, keep, recalled
from scheduler.carrying import read_log_file, write_log_file
from scheduler.history import History
from tests.scheduler.conftest import START, make_answer, make_note

DEVICES = ("tablet", "desk", "phone")
SORTING = {"families": {}, "kin": {}}
IN_MEMORY = "/dev/shm" if Path("/dev/shm").is_dir() else None
"""Files that need not come onto a disk, where the system has a place for them."""


def take(log, path):
    return log.append_all(read_log_file(path).rows())


def held(log):
    """All that a log tells of Mira, as it is read; what was said of what is left out is of no
    order."""
    leavings = {each.uuid: each for each in log.leavings("Mira")}
    return list(log.answers("Mira")), leavings, log.notes("Mira")


def learnt(log):
    """Memory and history, from what lies beside the log where it fits, as an app has them."""
    found = keep(recalled(log, "Mira", **SORTING), log)
    return found.memory, found.history


def learnt_anew(log):
    """The same from all rows, read one after the other."""
    return History().after(Memory(**SORTING), log.meetings("Mira"))


class Week:
    """Devices on which a student answers by chance, and now and then takes in a file of another;
    `files` are what they have handed over, early and late."""

    def __init__(self, folder, seed):
        self.folder, self._rng, self._day = folder, random.Random(seed), 0.0
        self.files = []

    def __enter__(self):
        self._stack = ExitStack()
        self._logs = {
            name: self._stack.enter_context(Log(self.folder / f"{name}.sqlite")) for name in DEVICES
        }
        return self

    def __exit__(self, *_):
        self._stack.close()

    def log(self, name):
        return self._stack.enter_context(Log(self.folder / f"{name}.sqlite"))

    def hand_over(self, log):
        path = self.folder / f"{len(self.files)}.zip"
        write_log_file(path, log, "Mira", {})
        self.files.append(path)
        return path

    def pass_by(self, steps):
        for _ in range(steps):
            name = self._rng.choice(DEVICES)
            log, step = self._logs[name], self._rng.random()
            if step < 0.5:
                self._answer(log, name)
            elif step < 0.6:
                self._leave_out(log, name)
            elif step < 0.7:
                self._note(log, name)
            elif step < 0.85 or not self.files:
                self.hand_over(log)
            else:
                take(log, self._rng.choice(self.files))
        for log in self._logs.values():
            self.hand_over(log)

    def _answer(self, log, name):
        rng, answers = self._rng, []
        self._day += rng.random()
        session = f"{name} {self._day:.3f}"
        for number in range(rng.randrange(1, 4)):
            # Clocks of devices are apart, and one may be set back.
            day = self._day + 0.001 * number + rng.choice([0, 0, 0.3, -2.0])
            answers.append(
                make_answer(
                    rng.choice("abc"),
                    day=day,
                    monotonic_s=10.0 * number,
                    credit=rng.choice([0.0, 0.5, 1.0]),
                    heard=rng.choice([None, "b"]),
                    chance=rng.choice([0.25, 1.0]),
                    device=name,
                    session=session,
                )
            )
        log.append_all(answers)

    def _note(self, log, name):
        for _ in range(self._rng.randrange(1, 4)):
            day = self._day + self._rng.choice([0, 0, 0.3, -2.0])
            log.append_all([make_note("palta", 1440 * day, device=name, key=f"{day:.3f}")])

    def _leave_out(self, log, name):
        sessions = [sat.session for sat in log.sessions("Mira")]
        if sessions:
            say = self._rng.choice([log.leave_out, log.put_back])
            say(self._rng.choice(sessions), student="Mira", device=name, utc=START)


@settings(max_examples=6)
@given(st.integers(0, 10**9))
def test_it_does_not_matter_in_which_order_how_often_and_by_which_way_files_come_in(seed):
    judge_any_way(seed)


def judge_any_way(seed):
    order = random.Random(seed)
    with TemporaryDirectory(dir=IN_MEMORY) as folder, Week(Path(folder), seed) as week:
        week.pass_by(order.randrange(4, 15))
        some, files = week.log("some"), [*week.files]
        for path in files:
            take(some, path)
            assert take(some, path) == 0  # twice is once
            assert learnt(some) == learnt_anew(some)
        # In any order, some of them again.
        other, shuffled = week.log("other"), files + order.sample(files, len(files) // 2)
        order.shuffle(shuffled)
        for path in shuffled:
            take(other, path)
        # By way of another log, which has taken some of them already.
        between, last = week.log("between"), week.log("last")
        cut = order.randrange(len(files))
        for path in files[cut:]:
            take(between, path)
        for path in (*files[:cut], week.hand_over(between)):
            take(last, path)
        assert held(some) == held(other) == held(last)
        assert some.left_out("Mira") == other.left_out("Mira") == last.left_out("Mira")
        assert learnt(some) == learnt(other) == learnt(last) == learnt_anew(other)


def test_what_conflicts_is_refused_whole(tmp_path):
    with Log(tmp_path / "a.sqlite") as a, Log(tmp_path / "b.sqlite") as b:
        known = make_answer("a", uuid="one")
        a.append_all([make_answer("b", day=1), make_answer("a", uuid="one", credit=0.0)])
        a.leave_out("day 1", student="Mira", device="tablet", utc=START)
        b.append(known)
        write_log_file(tmp_path / "a.zip", a, "Mira", {})
        with pytest.raises(RowConflictError, match="another answer stands under uuid one"):
            take(b, tmp_path / "a.zip")
        assert held(b) == ([known], {}, [])
