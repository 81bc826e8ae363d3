"""Courses: read whole, or refused with file, line, field and remedy."""

import pytest

from quizzes import KINDS, CourseError, load_course

GOOD = (
    'name = "A"\nabout = "B"\n[[step]]\nname = "one"\nskills = [\n  "swara:S",\n  "swara:P",\n]\n'
)


def test_the_first_course_begins_with_sa_and_pa_and_reaches_every_swara_and_saptak():
    course = load_course()
    ids = [skill.id for skill in course.skills]
    assert ids[:2] == ["swara:S", "swara:P"]
    middle = {f"swara:{letter}" for letter in "SrRgGmMPdDnN"}
    assert middle <= set(ids)
    assert {"swara:N,", "swara:S'"} <= set(ids)
    assert {skill.kind for skill in course.skills} == set(KINDS)


def test_the_first_course_meets_every_skill_of_the_hands():
    ids = {skill.id for skill in load_course().skills}
    for kind in ("ornament", "shade", "what-changed", "strokes"):
        assert {skill.id for skill in KINDS[kind].skills()} <= ids


def test_gaps_away_from_sa_come_after_gaps_from_sa():
    ids = [skill.id for skill in load_course().skills if skill.kind == "gap"]
    from_sa = [i for i, skill in enumerate(ids) if skill.startswith("gap:S-")]
    away = [i for i, skill in enumerate(ids) if not skill.startswith("gap:S-")]
    assert min(away) > sorted(from_sa)[10]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("name = ", "mend the file, it should be TOML"),
        ('name = "A"\nabout = "B"\n', "needs at least one [[step]]"),
        (GOOD.replace('about = "B"\n', ""), "line 1: about: should be a text in quotes"),
        (GOOD.replace('"swara:P"', '"swara:X"'), "line 7: step 1, skills: 'swara:X' is not asked"),
        (GOOD.replace('"swara:P"', '"swara:S"'), "line 7: step 1, skills: swara:S stands twice"),
        (GOOD.replace('"swara:P"', "7"), "step 1, skills: should be a list of texts"),
        (
            GOOD + 'colour = "red"\n',
            "line 9: step 1, colour: is not known; known are ask, name, ragas, skills",
        ),
        (GOOD.replace("skills", "skill"), "step 1, skill: is not known"),
        ("step = 3\n" + GOOD[:22], "step: should be tables [[step]]"),
        (
            GOOD + 'ragas = ["yaman", "yawning"]\n',
            "line 9: step 1, ragas: 'yawning' is no raga known here; `main.py raga` lists them",
        ),
        (
            GOOD + 'ragas = ["yaman"]\nask = ["raga-from-smell"]\n',
            "line 10: step 1, ask: nothing that is asked of ragas begins with 'raga-from-smell'",
        ),
    ],
)
def test_a_faulty_course_names_file_line_fault_and_remedy(tmp_path, text, said):
    (tmp_path / "mine.toml").write_text(text, encoding="utf-8")
    with pytest.raises(CourseError) as caught:
        load_course("mine", folder=tmp_path)
    assert str(tmp_path / "mine.toml") in str(caught.value)
    assert said in str(caught.value)


def test_an_unknown_course_is_told_with_those_that_are_known(tmp_path):
    (tmp_path / "mine.toml").write_text(GOOD, encoding="utf-8")
    with pytest.raises(CourseError, match="known are mine"):
        load_course("yours", folder=tmp_path)


def test_a_file_that_is_no_text_is_refused(tmp_path):
    (tmp_path / "mine.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(CourseError, match="should be TOML in UTF-8"):
        load_course("mine", folder=tmp_path)
