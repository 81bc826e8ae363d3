"""The order of a performance in a practice: a teacher's word, and what was met before."""

from practice.settings import Settings, save_settings
from quizzes.catalogue import kind_of, make_question
from quizzes.question import Setting
from scheduler import Log
from tests.steps import ask

TAUGHT = """
[stage.jor-fast]
name = "Dugun"

[[order]]
first = "madhya-gat"
then = "vilambit-gat"
strength = "fixed"

[[order]]
first = "jor-slow"
then = "jor-middle"
strength = "free"
"""


def practising(open_practice, tmp_path, tradition=""):
    """A practice of the course on performances, where a teacher has said so."""
    folder = tmp_path / "student"
    folder.mkdir()
    save_settings(Settings(course="performance"), folder)
    if tradition:
        (folder / "tradition.toml").write_text(tradition, encoding="utf-8")
    return open_practice()


def test_a_teachers_names_and_order_change_questions_and_marks_by_a_file_alone(
    open_practice, tmp_path
):
    practice = practising(open_practice, tmp_path, TAUGHT)
    assert not practice.troubles
    step = ask(practice.start(5))
    taught = step.question.setting
    assert taught.tradition == TAUGHT
    jors = make_question("order:jor-parts:3", seed=1, setting=Setting(138.59, tradition=TAUGHT))
    assert {choice.label for choice in jors.choices} == {"Vilambit jor", "Madhya jor", "Dugun"}
    kind = kind_of("order:jor-parts:3")
    for slow_and_middle in ("jor-slow jor-middle", "jor-middle jor-slow"):
        assert kind.mark(jors, f"{slow_and_middle} jor-fast").right
    shipped = make_question("order:jor-parts:3", seed=1, setting=Setting(138.59))
    assert kind.mark(shipped, "jor-middle jor-slow jor-fast").credit == 2 / 3
    moved = "follows:before:vilambit-gat"
    for setting, before in ((taught, "madhya-gat"), (Setting(138.59), "alap-jhala")):
        asked = {make_question(moved, seed=seed, setting=setting).right[0] for seed in range(6)}
        assert before in asked


def test_what_a_teacher_leaves_open_is_not_asked(open_practice, tmp_path):
    shipped = {item.skill for item in practising(open_practice, tmp_path)._items}
    (tmp_path / "student" / "tradition.toml").write_text(TAUGHT, encoding="utf-8")
    asked = {item.skill for item in open_practice()._items}
    assert shipped - asked == {"follows:before:jor-middle"}
    assert "order:jor-parts:3" in asked


def test_questions_know_the_ragas_and_stages_that_were_met(open_practice, tmp_path):
    practice = practising(open_practice, tmp_path)
    session, stages = practice.start(5), set()
    for _ in range(4):
        step = ask(session)
        assert set(step.question.setting.stages) == stages
        assert step.question.setting.ragas == ()
        stages.add(step.question.skill.rpartition(":")[2])
        session.answer(step.question.right[0])
    assert len(stages) > 1
    with Log.reading(practice.folder / "log.sqlite") as log:
        settings = [Setting.from_json(row.setting) for row in log.answers()]
    assert set(settings[-1].stages) <= stages


def test_what_names_alone_tell_is_known_to_be_luck(open_practice, tmp_path):
    session = practising(open_practice, tmp_path).start(5)
    asked = make_question("missing:alap", seed=1, setting=Setting(138.59))
    assert session._steps._chance(asked) >= asked.luck > 1 / len(asked.choices)
