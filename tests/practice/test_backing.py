"""A practice backs its log up while the student practises, and tells where that fails."""

from datetime import UTC, datetime

import pytest

from practice.backing import Backing
from practice.settings import Settings, save_settings
from scheduler import Answer, Log
from scheduler.backups import backups_of


@pytest.fixture
def log(tmp_path):
    """A student's log of some answers, closed."""
    save_settings(Settings(student_id="Mira"), tmp_path / "student")
    with Log(tmp_path / "student" / "log.sqlite") as log:
        log.append_all(answer(number) for number in range(20))
    return log


def answer(number):
    return Answer(
        student="Mira",
        skill="swara:R",
        kind="swara",
        seed=number,
        setting={},
        choices=("R", "G"),
        right=("R",),
        given="R",
        credit=1.0,
        heard=None,
        chance=0.5,
        predicted=0.5,
        reason="new",
        response_ms=900,
        utc=datetime(2026, 3, 1, 18, tzinfo=UTC),
        offset_min=0,
        monotonic_s=float(number),
        device="tablet",
        session="first",
    )


def test_the_log_is_backed_up_on_the_day_by_the_students_clock(open_practice, log):
    practice = open_practice()
    day = practice.today()
    practice._backing._thread.join()
    assert [(one.day, one.holds) for one in backups_of(log.path)] == [(f"{day}", 20)]
    assert practice.troubles == []


def test_before_anything_is_answered_no_thread_is_begun(open_practice):
    practice = open_practice()
    assert practice._backing._thread is None
    assert not (practice.folder / "backups").exists()


def test_a_backup_and_a_journal_that_fail_are_told_and_practice_goes_on(open_practice, log):
    for path in (log.path.parent / "backups").iterdir():
        path.unlink()
    (log.path.parent / "backups").rmdir()
    (log.path.parent / "backups").write_text("in the way")
    practice = open_practice()
    practice._backing._thread.join()
    assert any("The backup of today could not be made." in text for text in practice.troubles)
    practice._log.append(answer(20))
    assert any("All answers are in the log" in text for text in practice.troubles)
    assert practice._log.count() == 21


def test_who_closes_does_not_wait_for_a_backup(log, monkeypatch):
    told = []
    with Log(log.path) as found:
        monkeypatch.setattr(found, "back_up", lambda day, stop: stop.wait(60) and None)
        backing = Backing(found, datetime(2026, 3, 2, tzinfo=UTC).date(), told.append)
        backing.close()
        assert not backing._thread.is_alive()
        assert told == []


def test_a_student_is_told_what_was_saved_of_a_broken_log(open_practice, log):
    open_practice()._backing._thread.join()
    open_practice().close()
    log.path.write_bytes(b"garbage" * 900)
    practice = open_practice()
    (told,) = practice.troubles
    assert "A new one was put together of 20 answers: 20 from the backup of 2 March 2026" in told
