"""Courses: read whole, or refused with file, line, field and remedy."""

import pytest

from quizzes import KINDS, CourseError, load_course
from quizzes.catalogue import is_of_stages, is_of_talas
from quizzes.courses import USUAL, courses
from quizzes.kept import skills_of
from quizzes.ragas import ragas
from quizzes.talas import talas

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
    assert {skill.kind for skill in course.skills} == set(KINDS) - {"deck"}


def test_the_first_course_meets_every_skill_of_the_hands():
    ids = {skill.id for skill in load_course().skills}
    for kind in ("ornament", "shade", "what-changed", "strokes"):
        assert {skill.id for skill in KINDS[kind].skills()} <= ids


def test_gaps_away_from_sa_come_after_gaps_from_sa():
    ids = [skill.id for skill in load_course().skills if skill.kind == "gap"]
    from_sa = [i for i, skill in enumerate(ids) if skill.startswith("gap:S-")]
    away = [i for i, skill in enumerate(ids) if not skill.startswith("gap:S-")]
    assert min(away) > sorted(from_sa)[10]


# Ragas of the public syllabus of the central school board, melodic instruments, code 035, session
# lists of 2020 to 2025, by class.
SCHOOL = {
    9: {"alhaiya_bilawal", "yaman"},
    10: {"bhupali", "khamaj", "desh", "vrindavani_sarang"},
    11: {"bihag", "bhimpalasi", "bhairavi", "jaunpuri"},
    12: {"bhairav", "bageshri", "malkauns"},
}


def ragas_met(course):
    """The ragas in the order in which phrases of them are first asked."""
    ids = [skill.id for skill in course.skills if skill.id.startswith("raga-from-phrase:note:")]
    return [skill.rpartition(":")[2] for skill in ids]


def test_the_school_course_meets_the_ragas_of_each_class_after_those_of_the_class_before():
    met = ragas_met(load_course("school-board"))
    assert set(met) == set.union(*SCHOOL.values())
    classes = [next(c for c, ragas in SCHOOL.items() if raga in ragas) for raga in met]
    assert classes == sorted(classes)


def test_the_certificate_has_kafi_all_swaras_and_the_first_strokes():
    # The public syllabus of a first-year certificate course for sitar.
    ids = {skill.id for skill in load_course("sitar-certificate").skills}
    assert {f"swara:{letter}" for letter in "SrRgGmMPdDnN"} <= ids
    assert "raga-from-phrase:note:kafi" in ids
    assert any(skill.startswith("strokes:write:dir") for skill in ids)


@pytest.mark.parametrize("course", ["first-path", "ragas"])
def test_a_path_leads_to_the_full_list_and_asks_all_that_is_asked_of_ragas(course):
    ids = {skill.id for skill in load_course(course).skills}
    assert set(ragas_met(load_course(course))) == set(ragas())
    for kind in (kind for kind in KINDS if kind.startswith("raga-")):
        assert {skill.id for skill in skills_of(kind)} <= ids


@pytest.mark.parametrize("course", [USUAL, "paltas"])
def test_a_path_asks_all_that_is_asked_of_paltas_writing_and_making(course):
    asked = {skill.id for skill in load_course(course).skills}
    for kind in ("palta", "prastara", "slip", "write", "make"):
        assert {skill.id for skill in skills_of(kind)} <= asked


@pytest.mark.parametrize("course", courses())
def test_no_raga_is_met_before_the_swaras_of_its_phrases(course):
    ids = [skill.id for skill in load_course(course).skills]
    if "swara:S" not in ids:
        return
    first = next(place for place, skill in enumerate(ids) if skill.startswith("raga-"))
    for swara in ("P,", "D,", "N,", "S'", "R'", "G'"):
        assert ids.index(f"swara:{swara}") < first


def test_two_ragas_are_asked_against_each_other_when_both_are_met():
    ids = [skill.id for skill in load_course().skills]
    for place, skill in enumerate(ids):
        if skill.startswith("raga-from-phrase:") and "-" in (pair := skill.rpartition(":")[2]):
            for raga in pair.split("-"):
                assert ids.index(f"raga-from-phrase:note:{raga}") < place


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
            "line 9: step 1, colour: is not known; known are ask, decks, kinds, name, ragas, "
            "skills, talas",
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
        (
            GOOD + 'talas = ["tintal", "teen"]\n',
            "line 9: step 1, talas: 'teen' is no tala known here; `main.py tala` lists them",
        ),
        (
            GOOD + 'talas = ["tintal"]\nask = ["raga-vadi"]\n',
            "line 10: step 1, ask: nothing that is asked of talas begins with 'raga-vadi'",
        ),
        (
            GOOD + 'ragas = ["yaman"]\ntalas = ["tintal"]\n',
            "line 10: step 1, talas: stands beside ragas; give each a step of its own",
        ),
        (
            GOOD.replace('skills = [\n  "swara:S",\n  "swara:P",\n]', 'talas = ["brahma"]'),
            "line 5: step 1, talas: nothing new is asked of these talas so; remove the step",
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


@pytest.mark.parametrize("course", [USUAL, "performance"])
def test_a_path_asks_all_that_is_asked_of_the_stages_of_a_performance(course):
    asked = {skill.id for name in KINDS if is_of_stages(name) for skill in skills_of(name)}
    assert len(asked) > 200
    assert asked <= {skill.id for skill in load_course(course).skills}


@pytest.mark.parametrize("course", courses())
def test_stages_are_known_by_ear_before_long_orders_are_asked(course):
    ids = [skill.id for skill in load_course(course).skills]
    orders = [place for place, skill in enumerate(ids) if skill.startswith("order:performance:")]
    for stage in ("alap", "jor", "alap-jhala"):
        assert not orders or ids.index(f"which-stage:{stage}") < min(orders)
    assert [ids[place] for place in orders] == sorted(ids[place] for place in orders)


@pytest.mark.parametrize("course", [USUAL, "talas"])
def test_a_path_asks_all_that_is_asked_of_talas(course):
    asked = {skill.id for name in KINDS if is_of_talas(name) for skill in skills_of(name)}
    assert len(asked) > 300
    assert asked <= {skill.id for skill in load_course(course).skills}


def test_what_a_step_asks_of_talas_is_met_way_by_way_and_once(tmp_path):
    step = '[[step]]\nname = "one"\ntalas = ["jhaptal", "dadra"]\nask = ["sam", "tala:mid"]\n'
    text = f'name = "A"\nabout = "B"\n{step}{step.replace("ask", "# ask").replace("one", "two")}'
    (tmp_path / "mine.toml").write_text(text, encoding="utf-8")
    first, second = load_course("mine", folder=tmp_path).steps
    assert [skill.id for skill in first.skills] == [
        "sam:mark:jhaptal",
        "sam:mark:dadra",
        "sam:tap:jhaptal",
        "sam:tap:dadra",
        "tala:mid:jhaptal",
        "tala:mid:dadra",
    ]
    rest = [skill.id for skill in second.skills]
    assert {"tala:jhaptal", "khali:dadra", "layakari:start:dadra:dugun"} <= set(rest)
    assert not {skill.id for skill in first.skills} & set(rest)


# Talas of the same syllabus, by class, each with its theka in dugun, tigun and chaugun.
SCHOOL_TALAS = {
    9: {"keharwa", "jhaptal", "ektal", "tintal"},
    10: {"tilwada", "chautal", "sultal", "rupak"},
}


def test_the_school_course_meets_the_talas_of_each_class_and_their_layakaris():
    ids = [skill.id for skill in load_course("school-board").skills]
    met = [skill.split(":")[1] for skill in ids if skill.startswith("tala:")]
    assert set(met[:4]) == SCHOOL_TALAS[9]
    assert set(met[4:]) == SCHOOL_TALAS[10]
    for tala in met:
        for layakari in ("dugun", "tigun", "chaugun"):
            assert f"layakari:start:{tala}:{layakari}" in ids
        assert ids.index(f"layakari:start:{tala}:dugun") < ids.index("raga-from-phrase:note:bihag")
    assert {"layakari:hear:thah", "layakari:hear:chaugun"} <= set(ids)


def test_the_certificate_has_dadra_and_chautal():
    # The public syllabus of a first-year certificate course for sitar.
    ids = {skill.id for skill in load_course("sitar-certificate").skills}
    assert {"tala:dadra", "tala:chautal", "theka:write:dadra", "theka:clap:chautal"} <= ids


@pytest.mark.parametrize("course", courses())
def test_a_tala_is_known_by_its_theka_before_anything_else_is_asked_of_it(course):
    ids = [skill.id for skill in load_course(course).skills]
    for tala in talas():
        met = [place for place, skill in enumerate(ids) if tala in skill.split(":")]
        names = [place for place in met if ids[place] in (f"tala:{tala}", f"tala:mid:{tala}")]
        assert not met or not names or min(names) == min(met)
