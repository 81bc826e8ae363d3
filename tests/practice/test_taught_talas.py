"""Talas in a practice: those of a teacher are asked, waves that nobody waves are not."""

import json

import pytest

import main
from practice.settings import Settings, save_settings
from quizzes.catalogue import added_skills, is_asked, kind_of, make_question, name_of, skill_of
from quizzes.errors import UnknownSkill
from quizzes.question import Setting
from scheduler import Log
from tests.steps import ask, wrong

TAUGHT = """
[tala.sevens]
name = "Sevens"
vibhags = [4, 3]
khali = [5]
laya = ["madhya", "drut"]

[[tala.sevens.theka]]
bols = "dha dhin dhin dha | tin tin ta"

[tala.matta]
confirmed = ["form"]

[tala.rupak]
tali = [1, 4, 6]
khali = []

[tala.tintal]
name = "Trital"
"""


def practising(open_practice, tmp_path, course, tradition=TAUGHT):
    folder = tmp_path / "student"
    folder.mkdir(exist_ok=True)
    save_settings(Settings(course=course), folder)
    (folder / "tradition.toml").write_text(tradition, encoding="utf-8")
    return open_practice()


def test_a_tala_of_the_teachers_own_and_one_that_is_confirmed_come_last_in_a_course(
    open_practice, tmp_path
):
    practice = practising(open_practice, tmp_path, "talas")
    assert not practice.troubles
    asked = [item.skill for item in practice._items]
    besides = {skill.id for skill in added_skills(TAUGHT)}
    assert {"tala:sevens", "sam:mark:sevens", "theka:write:sevens", "tala:matta"} <= besides
    assert set(asked[-len(besides) :]) == besides
    assert "khali:rupak" not in asked
    assert "khali:sevens" in asked
    shipped = {item.skill for item in practising(open_practice, tmp_path, "talas", "")._items}
    assert "khali:rupak" in shipped
    assert not besides & shipped


def test_a_course_without_talas_stays_without(open_practice, tmp_path):
    asked = {item.kind for item in practising(open_practice, tmp_path, "ragas")._items}
    assert "tala" not in asked


def test_skills_are_named_as_the_teacher_names_them_and_can_be_asked():
    assert skill_of("tala:tintal", TAUGHT).name != skill_of("tala:tintal").name
    assert "Trital" in name_of("tala:tintal", TAUGHT)
    for skill in added_skills(TAUGHT):
        assert is_asked(skill.id, TAUGHT)
        question = make_question(skill.id, seed=3, setting=Setting(138.59, tradition=TAUGHT))
        assert kind_of(skill.id).mark(question, question.right[0]).right
    with pytest.raises(UnknownSkill):
        skill_of("tala:sevens")
    assert name_of("tala:sevens") == "tala:sevens"  # of a log, when the teacher's file has gone


def test_a_practice_goes_on_when_the_teachers_file_has_gone(open_practice, tmp_path):
    practice = practising(open_practice, tmp_path, "talas")
    session = practice.start(10)
    for number in range(8):
        step = ask(session)
        session.answer(wrong(step) if number % 2 else step.question.right[0])
    practice.end()
    with Log.reading(practice.folder / "log.sqlite") as log:
        assert len(list(log.answers())) == 8
    practice = practising(open_practice, tmp_path, "talas", "")
    assert practice.outlook(10).lines
    assert ask(practice.start(10)) is not None


def test_the_desk_asks_what_a_teacher_has_and_refuses_what_the_teacher_has_not(tmp_path, capsys):
    word = tmp_path / "mine.toml"
    word.write_text(TAUGHT, encoding="utf-8")
    assert main.main(["kinds", "tala", "--tradition", str(word)]) == 0
    assert "tala:sevens" in capsys.readouterr().out
    asked = ["questions", "tala", "--skill", "tala:sevens", "--count", "2"]
    assert main.main([*asked, "--tradition", str(word)]) == 0
    lines = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert {line["right"][0] for line in lines} == {"sevens"}
    refused = ["questions", "khali", "--skill", "khali:rupak", "--tradition", str(word)]
    assert main.main(refused) != 0
    assert "is not asked where a teacher has it so" in capsys.readouterr().err
