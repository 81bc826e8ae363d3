"""Opening a practice: where it cannot be kept, and with a teacher's word on ragas."""

import pytest

from practice import FolderError, Practice
from practice.settings import Settings, save_settings
from quizzes import Setting
from scheduler import Log
from tests.steps import ask


def test_a_folder_that_cannot_be_made_is_told_with_the_remedy(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(FolderError, match="name another folder with --folder or KAAN_HOME"):
        Practice(tmp_path / "file" / "kaan", speaker="silence")


def tradition_in(folder, text):
    folder.mkdir()
    (folder / "tradition.toml").write_text(text, encoding="utf-8")
    save_settings(Settings(course="ragas"), folder)


def test_a_teachers_word_on_ragas_stands_in_every_question_on_them_and_in_its_row(
    open_practice, tmp_path
):
    text = '[yaman]\nvadi = "R P"\n'
    tradition_in(tmp_path / "student", text)
    practice = open_practice()
    assert not practice.troubles
    session = practice.start(5)
    step = ask(session)
    assert step.question.setting.tradition == text
    session.answer(step.question.right[0])
    with Log.reading(practice.folder / "log.sqlite") as log:
        (row,) = log.answers()
    assert Setting.from_json(row.setting) == step.question.setting


def test_a_teachers_word_that_cannot_be_read_is_told_and_practice_goes_on(open_practice, tmp_path):
    tradition_in(tmp_path / "student", '[yawning]\nvadi = "G N"\n')
    practice = open_practice()
    (trouble,) = practice.troubles
    assert "tradition.toml, line 1: yawning: is no raga known here" in trouble
    assert ask(practice.start(5)).question.setting.tradition == ""
