"""A student's own courses: taken, kept to their pace, told where something of them is missing."""

from dataclasses import replace

import pytest

from practice import Mode, ModeError, SettingsError
from practice.settings import Settings, save_settings
from quizzes.signs import script_of
from tests.steps import ask
from words import use

SWARAS = '[[step]]\nname = "Swaras"\nkinds = ["swara"]\n'
GAPS = '[[step]]\nname = "Gaps"\nkinds = ["gap"]\n'
PACED = f'name = "My term"\npace = 2\n{SWARAS}{GAPS}'


@pytest.fixture
def with_course(open_practice, tmp_path):
    """Opens a practice whose own course "my-term" has this text."""
    home = tmp_path / "student"
    (home / "courses").mkdir(parents=True)
    save_settings(Settings(course="my-term"), home)

    def open_it(text):
        (home / "courses" / "my-term.toml").write_text(text, encoding="utf-8")
        return open_practice()

    return open_it


def practise(practice, clock):
    """Some questions of a practice, answered rightly; the skills asked."""
    asked, session = [], practice.start(15)
    while len(asked) < 7 and (step := ask(session)):
        session.answer(step.question.right[0])
        clock.forward(seconds=10)
        asked.append(step.question.skill)
    practice.end()
    return asked


def test_a_course_s_pace_is_kept_over_the_practices_of_a_day(with_course, clock):
    practice = with_course(PACED)
    assert practice.course.name == "My term"
    outlook = practice.outlook(15)
    assert outlook.headline == "2 minutes are enough: 2 swaras"
    assert outlook.counts == "2 new"
    assert set(practise(practice, clock)) == {"swara:S", "swara:P"}
    clock.forward(minutes=30)
    assert "new" not in practice.outlook(15).counts
    assert set(practise(practice, clock)) == {"swara:S", "swara:P"}
    with pytest.raises(ModeError, match="is begun: it goes on tomorrow"):
        practice.modes().asked(Mode("part", "Gaps"))
    clock.forward(days=1)
    assert practice.outlook(15).counts.startswith("2 new")
    assert practice.outlook(15, Mode("part", "Gaps")).headline.endswith("2 gaps")


def test_no_pace_is_kept_where_none_is_set(with_course):
    practice = with_course(PACED.replace("pace = 2\n", ""))
    assert practice.modes().asked(Mode()).minutes_of(15) == 15
    assert practice.outlook(15).counts == "10 new"


def test_a_deck_that_is_not_here_is_told_and_the_rest_is_asked(with_course):
    practice = with_course(PACED + '[[step]]\nname = "Mine"\ndecks = ["lost"]\n')
    assert practice.troubles == [
        "The deck lost of 'My term' is not here: bring it in, or take it out of the course; all "
        "else of it goes on."
    ]
    use("hi")  # as where the language is chosen, or known, only afterwards
    try:
        assert [script_of(told) for told in practice.troubles] == ["Deva"]
    finally:
        use()
    assert practice.modes().asked(Mode("part", "Gaps")).items
    practice.save(replace(practice.settings, course="talas"))
    assert practice.troubles == []


def test_courses_say_why_they_cannot_be_taken(with_course, tmp_path):
    practice = with_course(f'name = "My term"\npace = 0\n{SWARAS}{SWARAS}')
    said = practice.troubles[0]
    assert "my-term.toml, line 2: pace: should be a whole number from 1 to 50" in said
    assert said.endswith("and 1 more. Until then the usual course is taken.")
    home = tmp_path / "student" / "courses"
    for name, text in (
        ("ragas", PACED),
        ("lost", 'name = "Lost"\n[[step]]\nname = "One"\ndecks = ["lost"]\n'),
        ("second", PACED),
    ):
        (home / f"{name}.toml").write_text(text, encoding="utf-8")
    own = [choice for choice in practice.courses() if choice.is_own]
    assert [choice.name for choice in own] == ["Lost", "my-term", "My term", "ragas.toml"]
    assert [bool(choice.why_not) for choice in own] == [True, True, False, True]
    assert own[0].why_not == "Nothing is asked in it: its decks are not here."
    with pytest.raises(SettingsError, match=r"nothing is asked in 'Lost'\. The deck lost"):
        practice.save(replace(practice.settings, course="lost"))
    practice.save(replace(practice.settings, course="second"))
    assert practice.course.name == "My term"
    assert practice.troubles == []


def test_what_is_asked_follows_a_course_that_was_changed(with_course, tmp_path):
    practice = with_course(PACED)
    path = tmp_path / "student" / "courses" / "my-term.toml"
    path.write_text(f'name = "My term"\npace = 5\n{GAPS}', encoding="utf-8")
    practice.take_given()
    assert practice.course.pace == 5
    assert {item.kind for item in practice.modes().items} == {"gap"}


def test_a_deck_that_the_course_names_is_met_in_its_place_and_any_other_first(
    with_course, tmp_path
):
    decks = tmp_path / "student" / "decks"
    decks.mkdir()
    for name, skill in (("named", "gap:R-P:up"), ("other", "tune:P")):
        kind = skill.partition(":")[0]
        (decks / f"{name}.toml").write_text(
            f'deck = "{name}"\nname = "{name}"\n[[question]]\nid = "one"\nkind = "{kind}"\n'
            f'skills = ["{skill}"]\n',
            encoding="utf-8",
        )
    practice = with_course(
        f'{PACED}[[step]]\nname = "Mine"\ndecks = ["named"]\nkinds = ["wider"]\n'
    )
    asked = [item.skill for item in practice.modes().items]
    assert asked[:2] == ["tune:P", "swara:S"]
    assert practice.course.steps[-1].skills[0].id.startswith("wider:")  # met among the gaps before
    alone = with_course('name = "A"\n[[step]]\nname = "S"\nkinds = ["swara"]\ndecks = ["named"]\n')
    assert [item.skill for item in alone.modes().items][:3] == ["tune:P", "gap:R-P:up", "swara:S"]
