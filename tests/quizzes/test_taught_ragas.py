"""Ragas of a teacher's own: read, asked, marked, explained, and judged by who reads files alone."""

import shutil

import pytest

from quizzes import kept
from quizzes.catalogue import added_skills, every_skill, is_asked, kind_of, make_question, skill_of
from quizzes.errors import UnknownSkill
from quizzes.kinds import KINDS
from quizzes.question import Setting
from quizzes.ragas import ragas
from quizzes.ragas.asking import NearKind
from quizzes.ragas.choosing import beside
from quizzes.ragas.reading import RAGAS, load_raga
from quizzes.ragas.tradition import TEACHER
from quizzes.tradition import read_words
from tests.quizzes import raga_judges, raga_oracle
from tests.quizzes.taught_raga import FILE, ID, SHORT, as_tradition

OWN = as_tradition()


@pytest.fixture
def oracle(tmp_path, monkeypatch):
    """The oracle that reads the ragas' files, with this raga's file among them."""
    folder = tmp_path / "ragas"
    shutil.copytree(RAGAS, folder)
    (folder / f"{ID}.toml").write_text(FILE, "utf-8")
    caches = [each for each in vars(raga_oracle).values() if hasattr(each, "cache_clear")]
    caches += [each for each in vars(raga_judges).values() if hasattr(each, "cache_clear")]
    monkeypatch.setattr(raga_oracle, "FILES", folder)
    for cache in caches:
        cache.cache_clear()
    yield raga_oracle
    monkeypatch.undo()
    for cache in caches:
        cache.cache_clear()


def test_a_raga_reads_the_same_from_a_file_and_from_a_tradition(tmp_path):
    (tmp_path / f"{ID}.toml").write_text(FILE, "utf-8")
    shipped, taught = load_raga(tmp_path / f"{ID}.toml"), ragas(OWN)[ID]
    for field in shipped.__slots__:
        assert getattr(taught, field) == getattr(shipped, field), field
    short = ragas(SHORT)[ID]
    for field in ("notes", "scale", "vadi", "nyas"):
        assert getattr(short, field).value == getattr(shipped, field).value
        assert getattr(short, field).confidence == TEACHER
    assert [each.swaras for each in short.phrases] == [each.swaras for each in shipped.phrases]
    assert not any(fact.sure for fact in (short.hours, short.gait, short.register))


def test_all_that_can_be_asked_of_it_is_sound_by_its_file(oracle):
    skills = [s for s in added_skills(OWN) if s.id.startswith("raga-") and ID in s.id]
    assert len({skill.kind for skill in skills}) >= 12
    for number, skill in enumerate(skills):
        for seed in range(2):
            met = tuple(each.id for each in skills[: number * seed])
            setting = Setting(138.59, tradition=OWN, met=met)
            question = make_question(skill.id, seed=seed, setting=setting)
            assert raga_judges.faults(question) == []
            for given in (question.right[0], question.choices[0].id):
                if question.is_line and given not in question.right:
                    continue
                explained = kind_of(skill.id).explain(question, given)
                assert explained.why.endswith((".", "!"))
            assert kind_of(skill.id).mark(question, question.right[0]).right
            again = make_question(skill.id, seed=seed, setting=Setting.from_json(setting.as_json()))
            assert again.cue == question.cue
            assert ID in (question.skill + str(question.choices))


def test_it_is_offered_beside_shipped_ragas_and_only_in_its_tradition():
    skill, seen = "raga-from-phrase:note:yaman", set()
    met = (f"raga-from-phrase:note:{ID}", "raga-from-phrase:note:bhupali")
    for seed in range(8):
        for tradition in (OWN, ""):
            setting = Setting(138.59, tradition=tradition, met=met)
            question = make_question(skill, seed=seed, setting=setting)
            if any(choice.id == ID for choice in question.choices):
                seen.add(tradition)
    assert seen == {OWN}
    with pytest.raises(UnknownSkill):
        skill_of(f"raga-vadi:{ID}")
    with pytest.raises(UnknownSkill):
        make_question(f"raga-vadi:{ID}", seed=1, setting=Setting(138.59))


def test_of_what_is_not_told_nothing_is_asked():
    asked = {skill.kind for skill in added_skills(SHORT) if ID in skill.id}
    assert {"raga-vadi", "raga-from-phrase", "raga-rest"} <= asked
    assert not {"raga-hours", "raga-gait", "register", "fit"} & asked


def test_what_a_teachers_word_takes_away_is_not_asked_of_it_and_those_near_to_it():
    # With Pa on its way down alone nobody can say what the first string should be.
    text = '[bhupali]\nnotes = "S R G m P D"\naroha = "S R G m D S\'"'
    gone = {skill.id for skill in every_skill() if not is_asked(skill.id, text)}
    assert {"raga-tanpura:bhupali", "raga-from-phrase:rest:bhupali-deshkar"} <= gone
    near = {*beside("bhupali", ragas()), "bhupali"}
    assert all(near & set(skill.rpartition(":")[2].split("-")) for skill in gone)
    assert "raga-mend:run:bhupali" in {skill.id for skill in added_skills(text)}


def test_a_new_name_is_heard_in_skills_and_choices_and_the_usual_one_still_found():
    text = '[durga]\nname = "Durgavati"'
    assert "Durgavati" in skill_of("raga-vadi:durga", text).name
    assert ragas(text)["durga"].also[0] == "Durga"
    question = make_question("raga-vadi:durga", seed=1, setting=Setting(138.59, tradition=text))
    assert "Durgavati" in question.prompt


def test_what_is_worked_out_for_a_few_is_what_is_worked_out_for_all():
    text = f'{OWN}\n[yaman]\nnotes = "S R G m M P D N"\n[durga]\nvadi = "D R"'
    known = ragas(text)
    for kind in KINDS.values():
        if isinstance(kind, NearKind):
            assert {*kind.skills_taught(text)} == {*kind.skills_among(known)}


def test_it_is_worked_out_once_and_kept_beside_the_file(tmp_path, monkeypatch):
    text = SHORT.replace("Mangal", "Jangal")
    kept.bring(text, tmp_path)
    file = tmp_path / kept.TAUGHT
    before = file.read_text("utf-8")
    kept._brought.clear()
    kept._taught_of_ragas.cache_clear()
    kept._taught_in.cache_clear()
    monkeypatch.setattr(kept, "_work_out", lambda _: pytest.fail("worked out again"))
    kept.bring(f"{text}[tala.rupak]\nkhali = []\n", tmp_path)  # of ragas it says the same
    found = kept.taught_skills("raga-vadi", text)
    assert next(skill for skill in found if skill.id.endswith(ID)).kin == f"raga:{ID}"
    file.write_text(before.replace('"made_of": "', '"made_of": "0'), "utf-8")
    kept._brought.clear()
    kept._taught_of_ragas.cache_clear()
    kept._taught_in.cache_clear()
    monkeypatch.undo()
    kept.bring(text, tmp_path)
    assert file.read_text("utf-8") == before


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (SHORT.replace('vadi = "R"', ""), "line 8: mangal, samvadi: stands alone; give the vadi"),
        (f'[{ID}]\nname = "M"', "notes: is missing; a raga that is new here still needs its notes"),
        (SHORT.replace('["S R G R",', '[7, "S R G R",'), "phrases: should be tables [[mangal."),
        (SHORT.replace('"S R G R"', '"S n G R"'), "phrases: n should stand in notes as well, or"),
        (SHORT.replace('"S R G R"', '"R"'), "phrases: has 1 swaras; it should have 2 to 24"),
        (SHORT.replace('"S R G R"', "\"S R G''\""), "phrases: goes further than the neck of a"),
        (SHORT.replace('"yaman"]', '"gone"]'), "near: 'gone' is no other raga known here"),
        (SHORT.replace("Mangal Lehar", "Yaman"), "name: 'Yaman' is the name of yaman, too; give"),
        (SHORT.replace("[mangal]", "[my-raga]"), "my-raga: should be of small letters, figures"),
        (SHORT.replace('notes = "S ', 'notes = "'), "mangal, notes: has no S; every raga has its"),
        (SHORT.replace('aroha = "S R', 'aroha = "n R'), "mangal, aroha: n should stand in notes"),
        (f'{SHORT}[{ID}.scale]\naroha = "S R G P D S\'"', "aroha: is told by scale already"),
    ],
)
def test_what_is_wrong_with_a_new_raga_is_told_with_its_place(text, told):
    words = read_words(text, "mine.toml")
    assert any(told in str(fault) for fault in words.faults), list(map(str, words.faults))
    assert words.faults[0].file == "mine.toml"
