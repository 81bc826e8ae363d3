"""Opening a practice: where there is no place for it, with a teacher's word, with what was kept."""

from dataclasses import replace

import pytest

from practice import FolderError, Practice, StepError
from practice.settings import Settings, save_settings
from quizzes import Setting
from scheduler import Log, Memory
from tests.steps import ask, wrong


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


def answered(practice, count=3):
    session = practice.start(5)
    for _ in range(count):
        session.answer(ask(session).question.right[0])
    practice.end()


def read_whole(practice):
    """What the practice's log tells of its student, read from the first row on."""
    memory = practice._memory
    with Log.reading(practice.folder / "log.sqlite") as log:
        return Memory.rebuilt(
            log.meetings(practice.settings.student_id),
            families=memory.families,
            kin=memory.kin,
        )


def test_memory_is_kept_from_one_practice_to_the_next(open_practice, clock):
    answered(open_practice())
    clock.forward(days=1)
    practice = open_practice()
    assert practice._recalled.doubt is None
    assert sum(belief.met for belief in practice._memory.beliefs.values()) == 3
    answered(practice)
    assert repr(practice._memory) == repr(read_whole(practice))
    assert practice._recalled.is_kept


def test_kept_memory_that_is_damaged_or_of_another_course_does_no_harm(open_practice):
    practice = open_practice()
    answered(practice)
    (beside,) = practice.folder.glob("log.sqlite.memory-*")
    practice.close()
    beside.write_bytes(beside.read_bytes()[:-9])
    practice = open_practice()
    assert practice._recalled.doubt == "what was kept is damaged"
    assert repr(practice._memory) == repr(read_whole(practice))
    practice.save(replace(practice.settings, course="ragas"))
    assert repr(practice._memory) == repr(read_whole(practice))


def test_what_somebody_else_answered_last_is_left_out_at_once_and_put_back(open_practice, clock):
    practice = open_practice()
    with pytest.raises(StepError, match="no session has ended"):
        practice.leave_out_last()
    answered(practice, 6)
    clock.forward(days=1)
    knew, held, fine = repr(practice._memory), practice.outlook(5), practice._thresholds
    session = practice.start(5)
    for _ in range(12):
        step = ask(session)
        session.answer(wrong(step))
    practice.end()
    after = repr(practice._memory)
    assert after != knew
    practice.leave_out_last()
    assert practice._recalled.doubt is None  # only what came since was read
    assert repr(practice._memory) == repr(read_whole(practice)) == knew
    assert {why for _, why in practice.outlook(5).lines} == {why for _, why in held.lines}
    assert practice._thresholds is not fine
    practice.put_back_last()
    assert repr(practice._memory) == repr(read_whole(practice)) == after
    practice.leave_out_last()
    again = open_practice()
    assert (again._recalled.doubt, repr(again._memory)) == (None, knew)
    with Log.reading(again.folder / "log.sqlite") as log:
        assert log.count() == 18


def test_what_another_process_leaves_out_or_adds_is_noticed_and_else_nothing_is_read(
    open_practice, monkeypatch
):
    practice = open_practice()
    for count in (3, 4):
        answered(practice, count)
    first, last = practice.practices()
    assert [(one.answers, one.is_out) for one in (first, last)] == [(3, False), (4, False)]
    assert first.at == first.until == last.at == practice._now()
    with Log.reading(practice.folder / "log.sqlite") as log:
        rows = [answer for answer in log.answers() if answer.session in last.sessions]
    assert last.asked == last.right == sum(answer.chance < 1 for answer in rows)
    whole = repr(practice._memory)
    other = Practice(practice.folder, speaker="silence", now=practice._now)
    try:
        for held in (first, last):
            other.turn(held)
            practice.refresh()
            assert repr(practice._memory) == repr(read_whole(practice)) != whole
        assert practice._memory.beliefs == {}
        for held in other.practices():
            assert held.is_out
            other.turn(held)
        practice.refresh()
        assert repr(practice._memory) == whole
        answered(other, 2)
    finally:
        other.close()
    practice.refresh()
    assert repr(practice._memory) == repr(read_whole(practice)) != whole
    monkeypatch.setattr(practice, "_forget", lambda: pytest.fail("nothing has changed"))
    practice.refresh()
