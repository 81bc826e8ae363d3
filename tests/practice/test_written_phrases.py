"""Phrases to be written: of swaras met and ragas begun, and made again from the log."""

from practice.settings import Settings, save_settings
from quizzes.catalogue import also_met, make_question, plays_in_ragas
from quizzes.kinds import KINDS
from quizzes.question import Setting
from scheduler import Log
from tests.steps import ask

COURSE = """
name = "Written"

[[step]]
name = "Swaras, ragas, and phrases of them"
skills = ["swara:S", "swara:P", "raga-vadi:yaman", "raga-rest:note:yaman", "write:swaras:3"]
"""


def practising(open_practice, tmp_path):
    folder = tmp_path / "student"
    (folder / "courses").mkdir(parents=True)
    (folder / "courses" / "written.toml").write_text(COURSE, encoding="utf-8")
    save_settings(Settings(course="written"), folder)
    return open_practice()


def test_a_phrase_is_of_swaras_met_and_of_ragas_begun(open_practice, tmp_path):
    practice = practising(open_practice, tmp_path)
    assert practice.troubles == []
    session, begun, settings = practice.start(15), set(), []
    for _ in range(12):
        question = ask(session).question
        if question.kind == "write":
            settings.append(question.setting)
            swaras = {skill for skill in begun if skill.startswith("swara:")}
            assert swaras <= set(question.setting.met) <= begun
            ragas = {"yaman"} if any(skill.startswith("raga-") for skill in begun) else set()
            assert set(question.setting.ragas) == ragas
        else:
            assert question.setting.ragas == ()
        begun.add(question.skill)
        session.answer(question.right[0])
    assert any(setting.ragas and len(setting.met) > 1 for setting in settings)
    with Log.reading(practice.folder / "log.sqlite") as log:
        rows = [row for row in log.answers() if row.kind == "write"]
    for row in rows:
        again = make_question(row.skill, seed=row.seed, setting=Setting.from_json(row.setting))
        assert again.right == row.right
        assert row.credit == 1.0


def test_a_phrase_is_no_lucky_guess(open_practice, tmp_path):
    steps = practising(open_practice, tmp_path).start(5)._steps
    question = make_question("write:swaras:5", seed=1, setting=Setting(138.59))
    assert steps._chance(question) == question.luck < 0.02


def test_a_kind_says_whether_it_plays_in_ragas_and_what_else_it_goes_by():
    assert {name for name in KINDS if plays_in_ragas(name)} >= {"write", "which-stage", "sam"}
    assert not plays_in_ragas("swara")
    assert also_met("write") == ("swara",)
    assert also_met("swara") == ()
