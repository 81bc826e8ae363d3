"""The swara that carries the weight sounds clearly longest, and only the ear can tell which."""

from collections import Counter

from audio.line import Line
from audio.sargam import parse
from audio.tuning import SWARAS
from quizzes import Setting, kind_of, make_question
from quizzes.kept import skills_of
from quizzes.ragas import ragas

SKILLS = [skill.id for skill in skills_of("raga-weight")]
SETTING = Setting(sa_hz=138.59, tuning="equal")
CLEARLY = 1.4


def seconds_by_letter(score):
    heard = Counter()
    for stroke in score.strokes:
        heard[SWARAS[round(stroke.path[0][1] / 100) % 12]] += stroke.duration_s
    return heard


def test_the_right_swara_sounds_clearly_longest_in_the_cue():
    for skill in SKILLS:
        for seed in range(2):
            question = make_question(skill, seed=seed, setting=SETTING)
            heard = seconds_by_letter(question.cue)
            longest = heard.pop(question.right[0])
            assert longest >= CLEARLY * max(heard.values()), question.sargam


def test_most_choices_are_swaras_on_which_the_raga_dwells():
    for skill in SKILLS:
        question = make_question(skill, seed=1, setting=SETTING)
        raga = ragas()[skill.rpartition(":")[2]]
        dwells = {*raga.nyas.value, *raga.vadi.value}
        assert set(question.possible) <= dwells
        assert len(question.possible) >= 2


def test_who_has_not_listened_cannot_know_which_one_it_was():
    right = Counter(
        make_question("raga-weight:yaman", seed=seed, setting=SETTING).right[0]
        for seed in range(60)
    )
    assert set(right) == {"R", "G", "P", "N"}
    assert max(right.values()) < 30


def test_an_explanation_tells_how_long_and_what_the_swara_is():
    question = next(
        question
        for seed in range(60)
        if (question := make_question("raga-weight:yaman", seed=seed, setting=SETTING)).right
        == ("G",)
    )
    line = parse(question.sargam)
    assert isinstance(line, Line)
    held = sum(note.matras for note in line.notes() if note.swara.letter == "G")
    why = kind_of(question.skill).explain(question, "G").why
    assert why.startswith("Ga, vadi of Yaman, sounded for ")
    assert str(int(held)) in why
