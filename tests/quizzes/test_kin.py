"""Skills that are kin ask of one thing, and all that asks of one raga, tala or gap is kin."""

from collections import defaultdict

import pytest

from audio.tuning import Swara
from quizzes import KINDS, load_course
from quizzes.catalogue import added_skills, is_of_stages, is_of_talas
from quizzes.courses import courses
from quizzes.kept import skills_of
from quizzes.ragas import ragas
from quizzes.ragas.asking import ragas_in
from quizzes.stages.asking import stages_in
from quizzes.stages.tradition import form
from quizzes.talas import talas
from quizzes.talas.asking import talas_in


def all_skills():
    return [skill for kind in KINDS for skill in skills_of(kind)]


def raga_of(skill):
    asks_of_one = skill.kind.startswith("raga-") or skill.id.startswith(("register:h", "fit:laya:"))
    return ragas_in([skill.id], "") if asks_of_one else ()


def tala_of(skill):
    # Of a layakari in a tala it is the reckoning that is kin.
    is_asked = is_of_talas(skill.kind) and skill.kind != "layakari"
    return tuple(talas_in([skill.id], talas())) if is_asked else ()


def stage_of(skill):
    return tuple(stages_in([skill.id], form(""))) if is_of_stages(skill.kind) else ()


def gap_of(skill):
    return tuple(skill.id.split(":")[1:2]) if skill.kind == "gap" else ()


def swara_of(skill):
    return (Swara.read(skill.id.split(":")[1]).letter,) if skill.kind == "swara" else ()


def layakari_of(skill):
    return (skill.id.rpartition(":")[2],) if skill.kind == "layakari" else ()


THINGS = {
    "raga": (raga_of, 91),
    "tala": (tala_of, 25),
    "stage": (stage_of, 24),
    "gap": (gap_of, 78),
    "swara": (swara_of, 12),
    "layakari": (layakari_of, 7),
}


@pytest.mark.parametrize("thing", THINGS)
def test_what_asks_of_one_thing_is_kin_and_nothing_else_is_of_that_kin(thing):
    of, fewest = THINGS[thing]
    asked = defaultdict(set)
    for skill in all_skills():
        for name in of(skill):
            asked[f"{thing}:{name}"].add(skill.id)
    kin = defaultdict(set)
    for skill in all_skills():
        if skill.kin.startswith(f"{thing}:"):
            kin[skill.kin].add(skill.id)
    assert kin == asked
    assert len(kin) >= fewest


@pytest.mark.parametrize("course", courses())
def test_every_skill_of_a_course_states_its_kin(course):
    assert all(skill.kin for skill in load_course(course).skills)


def test_a_skill_stands_alone_only_where_nothing_else_asks_of_its_thing():
    kin = defaultdict(list)
    for skill in all_skills():
        kin[skill.kin].append(skill)
    alone = [skills[0] for skills in kin.values() if len(skills) == 1]
    # An ornament by ear, two ragas set against each other, an order of which one length is asked,
    # a stage whose purpose is not asked, the tala's own pace.
    assert {skill.kind for skill in alone} <= {
        "ornament",
        "raga-from-phrase",
        "order",
        "which-stage",
        "layakari",
    }
    for skill in alone:
        of_thing = [each.id for each in skills_of(skill.kind) if thing_of(each) == thing_of(skill)]
        assert of_thing == [skill.id]


def thing_of(skill):
    """What a skill of a kind asks of: of an order the whole, else the last part of the id."""
    parts = skill.id.split(":")
    return parts[1] if skill.kind == "order" else parts[-1]


def test_two_ragas_told_apart_are_kin_of_the_same_two_in_any_order_and_of_neither_alone():
    pairs = [skill for skill in all_skills() if skill.kin.startswith("ragas:")]
    for skill in pairs:
        two = skill.id.rpartition(":")[2].split("-")
        assert skill.kin == f"ragas:{'-'.join(sorted(two))}"
        assert set(two) <= ragas().keys()
    assert {skill.kind for skill in pairs} == {"raga-from-phrase", "shade"}


def test_an_ear_for_sizes_of_gaps_is_kin_by_the_difference():
    for skill in skills_of("wider"):
        small, large = skill.id.split(":")[1].split("-")
        assert skill.kin == f"wider:{int(large) - int(small)}"


NEW = """
[tala.champak]
name = "Champak"
vibhags = [3, 2]
khali = [4]
laya = ["madhya"]
[[tala.champak.theka]]
bols = "dha dhin na | tin na"
"""


def test_a_tala_that_only_a_teacher_has_is_kin_in_the_same_way():
    added = added_skills(NEW)
    assert {skill.kind for skill in added} >= {"tala", "sam", "khali", "matra", "theka", "tap"}
    for skill in added:
        last = skill.id.rpartition(":")[2]
        assert skill.kin == (f"layakari:{last}" if skill.kind == "layakari" else "tala:champak")
