"""A whole practice on a tradition that adds a raga: asked, marked, explained, remembered, told."""

import json
from dataclasses import replace

import main
from practice import Mode
from practice.settings import Settings, save_settings
from quizzes.catalogue import added_skills, kind_of
from scheduler import Log
from tests.quizzes.taught_raga import ID, SHORT, as_tradition
from tests.steps import ask, wrong

OWN = as_tradition()
COURSE = f"""
name = "One raga"
about = "A teacher's own."

[[step]]
name = "Ours"
ragas = ["{ID}"]
ask = ["raga-vadi", "raga-rest", "raga-from-phrase:note", "raga-breaks"]
"""


def practising(open_practice, tmp_path, tradition=OWN, course="ours", **settings):
    folder = tmp_path / "student"
    (folder / "courses").mkdir(parents=True, exist_ok=True)
    (folder / "courses" / "ours.toml").write_text(COURSE, "utf-8")
    save_settings(Settings(course=course, **settings), folder)
    (folder / "tradition.toml").write_text(tradition, "utf-8")
    return open_practice()


def test_a_course_of_the_teachers_raga_is_asked_marked_explained_and_remembered(
    open_practice, tmp_path, clock
):
    practice = practising(open_practice, tmp_path, lesson_day="thursday", lesson_ragas=(ID,))
    assert not practice.troubles
    assert (ID, "Mangal Lehar") in practice.lesson_ragas()
    assert "on Mangal Lehar" in practice.lesson_words()
    session, asked = practice.start(15), []
    for number in range(8):
        step = ask(session)
        given = wrong(step) if number % 2 else step.question.right[0]
        result = session.answer(given)
        assert result.mark.right == (number % 2 == 0)
        assert result.explanation.why
        asked.append(step.question.skill)
    practice.end()
    assert all(skill.endswith(ID) for skill in asked)
    with Log.reading(practice.folder / "log.sqlite") as log:
        rows = list(log.answers())
    assert [row.skill for row in rows] == asked
    assert {*asked} <= practice.modes().memory.beliefs.keys()
    clock.forward(days=2)
    again = practice.start(5, Mode("before-lesson"))
    assert ask(again).question.skill.endswith(ID)
    practice.end()
    # The file goes; what was answered stays, and can be made again from its row.
    practice = practising(open_practice, tmp_path, "", course="first-path", lesson_ragas=(ID,))
    assert practice.outlook(10).lines
    assert practice.lesson_ragas() == () or ID not in dict(practice.lesson_ragas())
    assert all(kind_of(skill) for skill in asked)


def test_a_shipped_course_asks_it_last_and_a_fault_beside_it_is_told(open_practice, tmp_path):
    tradition = f'{SHORT}\n[durga]\nvadi = "D R"\nnyas = 7\n'
    practice = practising(open_practice, tmp_path, tradition, course="ragas")
    (trouble,) = practice.troubles
    assert "line 15: durga, nyas: should be a text in quotes" in trouble
    items = [item.skill for item in practice.modes().items]
    kinds = {skill.kind for skill in practice.course.skills}
    besides = [s.id for s in added_skills(practice.given.tradition) if s.kind in kinds]
    assert items[-len(besides) :] == besides
    assert f"raga-from-phrase:note:{ID}" in besides
    assert practice.given.name_of(f"raga-vadi:{ID}") == "Vadi and samvadi of Mangal Lehar"


def test_what_a_teacher_adds_is_taken_over_while_the_practice_is_open(open_practice, tmp_path):
    practice = practising(open_practice, tmp_path, "", course="ragas")
    before = {item.skill for item in practice.modes().items}
    practice.shelf.write_tradition(OWN)
    practice.take_given()
    after = {item.skill for item in practice.modes().items}
    assert f"raga-from-phrase:note:{ID}" in after - before
    practice.save(replace(practice.settings, lesson_ragas=(ID,)))
    assert (practice.folder / "tradition.skills.json").exists()


def test_the_desk_tells_plays_and_asks_it(tmp_path, capsys):
    word, out = tmp_path / "mine.toml", tmp_path / "out.wav"
    word.write_text(SHORT, "utf-8")
    assert main.main(["raga", "Mangal Lehar", "--tradition", str(word)]) == 0
    told = capsys.readouterr().out
    assert "S R G M P D" in told
    assert "T  your teacher" in told
    assert main.main(["raga", ID, "--play", "--out", str(out), "--tradition", str(word)]) == 0
    assert out.stat().st_size > 10_000
    capsys.readouterr()
    assert main.main(["kinds", "raga-vadi", "--tradition", str(word)]) == 0
    assert f"raga-vadi:{ID}" in capsys.readouterr().out
    asked = ["questions", "raga-vadi", "--skill", f"raga-vadi:{ID}", "--count", "1"]
    assert main.main([*asked, "--tradition", str(word)]) == 0
    assert json.loads(capsys.readouterr().out)["right"] == ["R-D"]
    assert main.main([*asked]) != 0
    word.write_text(SHORT.replace('"R P D S"', '"R n"') + "[durgaa]\n", "utf-8")
    assert main.main(["raga", ID, "--tradition", str(word)]) != 0
    told = capsys.readouterr().err
    assert "mangal, nyas: n should stand in notes" in told
    assert "durgaa: is no raga known here" in told
