"""A practice in which somebody else answered is left out, and put back, by a command."""

from datetime import UTC, datetime, timedelta

import pytest

from main import main
from practice.settings import Settings, load_settings, save_settings
from scheduler import Log
from tests.desk.test_predictions import answer

FIRST = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


@pytest.fixture
def home(tmp_path):
    """Two practices, the second in two parts with a night between them."""
    save_settings(Settings(), tmp_path)
    with Log(tmp_path / "log.sqlite") as log:
        for number, session in enumerate(["one", "one", "two", "two+2"]):
            log.append(
                answer(
                    number,
                    student=load_settings(tmp_path)[0].student_id,
                    session=session,
                    utc=FIRST + timedelta(hours=9 * number),
                )
            )
    return tmp_path


@pytest.fixture
def leave(home, capsys):
    def run(*words):
        code = main(["--folder", str(home), "leave-out", *words])
        out, err = capsys.readouterr()
        with Log.reading(home / "log.sqlite") as log:
            assert log.count() == 4
            return code, out + err, {one.session for one in log.meetings()}

    return run


def test_the_last_practice_is_left_out_whole_and_put_back_as_it_is_told(leave):
    code, told, counting = leave()
    assert (code, counting) == (0, {"one"})
    assert told.startswith("Left out: 2 answers of ")
    assert "stay in the log and count for nothing.\nTo put them back: main.py leave-out" in told
    code, told, counting = leave(*told.split("leave-out ")[1].split())
    assert (code, counting) == (0, {"one", "two", "two+2"})
    assert told.startswith("Put back: 2 answers of ")


def test_another_practice_is_named_by_the_list(leave):
    assert leave("--session", "on")[2] == {"two", "two+2"}
    code, told, _ = leave("--list")
    assert code == 0
    assert [line.split()[0] for line in told.splitlines()] == ["one", "two"]
    assert [line.endswith("left out") for line in told.splitlines()] == [True, False]
    assert "2 answers of " in told


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--session", "three"], "'three' is none of your practices; the latest are one or two."),
        (["--session", ""], "--session '' may be one or two. See --list."),
        (["--put-back"], "are not left out: nothing is to be put back."),
    ],
)
def test_what_cannot_be_done_is_told_with_the_remedy(leave, words, said):
    code, told, counting = leave(*words)
    assert (code, counting) == (1, {"one", "two", "two+2"})
    assert said in told


def test_where_nothing_is_known_of_whose_answers_are_meant_nothing_is_touched(
    home, leave, tmp_path, capsys
):
    (home / "settings.json").write_text("{")
    code, told, _ = leave()
    assert (code, (home / "settings.json").read_text()) == (1, "{")
    assert "settings.json: cannot be read, so it is not known whose answers" in told
    save_settings(Settings(), home)
    assert "holds no answers of yours yet" in leave()[1]
    assert main(["leave-out", "--folder", str(tmp_path / "nowhere")]) == 1
    assert "there is no such file" in capsys.readouterr().err
    assert not (tmp_path / "nowhere").exists()
