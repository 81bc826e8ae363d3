"""What a student has written is heard before it is sent, and leaves the question as it was."""

import pytest

from audio.tuning import JUST, Swara
from practice import StepError
from practice.own_line import own_score
from practice.settings import Settings, save_settings
from quizzes import Setting, make_question
from scheduler import Log
from tests.steps import ask

COURSE = 'name = "Phrases"\n[[step]]\nname = "To write"\nskills = ["write:swaras:3"]\n'


@pytest.fixture
def session(open_practice, tmp_path):
    home = tmp_path / "student"
    (home / "courses").mkdir(parents=True)
    (home / "courses" / "phrases.toml").write_text(COURSE)
    save_settings(Settings(course="phrases"), home)
    practice = open_practice(speaker="wav")
    yield practice.start(15)
    practice.close()


def test_what_is_written_is_heard_and_nothing_of_the_question_changes(session, tmp_path):
    step = ask(session)
    first, last = session._first_heard, session._last_heard
    line = " ".join([step.question.choices[0].id] * 2)
    own = session.hear_own(line)
    assert own is not first
    assert own.path != first.path
    assert (session._first_heard, session._last_heard) == (first, last)
    with pytest.raises(KeyError):
        session.hear_own("X")
    with pytest.raises(StepError, match="not answered yet"):
        session.play_told(step.question.cue)
    mark = session.answer(line).mark
    assert session.play_told(step.question.cue).path is not None
    with Log.reading(tmp_path / "student" / "log.sqlite") as log:
        (row,) = log.answers()
    assert (row.given, row.credit) == (line, mark.credit)


def test_it_sounds_at_the_sa_and_the_tempo_of_the_cue_over_its_drone():
    question = make_question("write:swaras:4", seed=5, setting=Setting(sa_hz=138.59))
    letters = [choice.id for choice in question.choices][:3]
    score = own_score(question, " ".join(letters))
    assert (score.sa_hz, score.drone) == (question.cue.sa_hz, question.cue.drone)
    matra_s = 60 / question.detail["tempo"]
    assert [stroke.onset_s / matra_s for stroke in score.strokes] == pytest.approx([0, 1, 2])
    pitches = [JUST.cents_of(Swara.read(letter)) for letter in letters]
    assert [stroke.path[0][1] for stroke in score.strokes] == pytest.approx(pitches)


def test_in_a_raga_the_swaras_are_low_that_it_has_low():
    """Darbari Kanada's komal Ga is lower than any other: its own file has the sources."""
    question = make_question("raga-make:ends:darbari", seed=1, setting=Setting(sa_hz=138.59))
    (stroke,) = own_score(question, "g").strokes
    assert stroke.path[0][1] < JUST.cents_of(Swara.read("g")) - 5
