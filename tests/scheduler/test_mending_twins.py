"""Rows of two tables that bear one name are two rows, also where a log is put together again."""

from scheduler import Log
from tests.scheduler.conftest import make_answer, make_note
from tests.scheduler.test_opening import tear


def test_an_answer_and_a_note_of_one_name_are_both_found_again(tmp_path):
    answer = make_answer("a", uuid="one")
    note = make_note("palta", uuid="one", key="three")
    with Log(tmp_path / "log.sqlite") as log:
        log.append_all([answer, note])
    tear(log.path, at=0)
    with Log(log.path) as found:
        assert found.trouble
        assert list(found.answers()) == [answer]
        assert found.notes() == [note]
