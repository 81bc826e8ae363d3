"""Stages by ear, what they are for, and the path of an alap: what is asked is told by what sounds.

What may be told from what is worked out here from the files as they stand, by their bare figures.
"""

import tomllib
from collections import Counter
from functools import cache
from itertools import combinations, pairwise
from pathlib import Path
from statistics import median

import pytest

from audio.sargam import parse
from quizzes import KINDS, Setting, UnknownSkill, make_question
from quizzes.choice_sets import fair_sets
from quizzes.fresh import Fresh
from quizzes.stages.describing import described
from quizzes.stages.offering import drawn, never_beside, offerable
from quizzes.stages.telling import FEATURES, apart_by, telling
from quizzes.stages.tradition import form

ASSETS = Path(__file__).parents[2] / "assets"
FILE = tomllib.loads((ASSETS / "stages" / "stages.toml").read_text(encoding="utf-8"))
ORDER = tomllib.loads((ASSETS / "stages" / "order.toml").read_text(encoding="utf-8"))
RAW = {table["id"]: table for table in FILE["stage"]}
PATHS = (
    "mandra-madhya-tar", "tar-madhya-mandra", "madhya-mandra-madhya", "madhya-tar-madhya",
    "mandra-madhya-mandra", "tar-madhya-tar",
)  # fmt: skip
RANGES = ("tempo", "strokes", "chikari", "ornaments")
PAIRS = list(combinations(RAW, 2))
WHICH, WHAT, REGISTER = (KINDS[name] for name in ("which-stage", "what-for", "register"))
SETTING = Setting(sa_hz=146.0)


def clear_of(one, other, field):
    """Whether two ranges of the file have nothing in common."""
    low, high = sorted((RAW[one]["heard"][field], RAW[other]["heard"][field]))
    return low[1] < high[0]


def raw_differences(one, other):
    """In which fields of the file two stages differ at all, as far as a listener could tell."""
    here, there = RAW[one]["heard"], RAW[other]["heard"]
    found = {
        "pulse": ("tempo" in here) != ("tempo" in there),
        "tabla": ("talas" in here) != ("talas" in there),
        "ends": here.get("ends") != there.get("ends"),
        "run": here.get("run") != there.get("run"),
        "shaken": here.get("shaken", False) != there.get("shaken", False),
        "bols": here.get("bols") != there.get("bols"),
        "register": here["register"] != there["register"],
    }
    both = [field for field in RANGES if field in here and field in there]
    return {name for name, differ in found.items() if differ} | {
        field for field in both if clear_of(one, other, field)
    }


@cache
def asked(kind):
    """A question of each skill."""
    return [make_question(skill.id, seed=3, setting=SETTING) for skill in kind.skills()]


def test_two_stages_are_apart_whichever_is_named_first_and_only_where_the_file_has_it_so():
    known = form().stages
    for one, other in PAIRS:
        by = apart_by(known[one].heard, known[other].heard)
        assert by == apart_by(known[other].heard, known[one].heard)
        assert set(by) <= raw_differences(one, other)
        assert {"pulse", "tabla", "ends", "run"} & raw_differences(one, other) <= set(by)


def test_what_tells_a_stage_tells_it_from_each_other_and_nothing_is_said_in_vain():
    known = form().stages
    for right in known:
        heard = known[right].heard
        others = [known[each].heard for each in known if apart_by(heard, known[each].heard)]
        told = telling(heard, others)
        assert all(set(told) & set(apart_by(heard, other)) for other in others)
        for spared in told:
            rest = set(told) - {spared}
            assert not all(rest & set(apart_by(heard, other)) for other in others)


# Alap has no pulse; jor has one, and no tabla; jhala is mostly chikari; gats are played with the
# tabla; a performance ends with a tihai (common practice).
@pytest.mark.parametrize(
    ("stage", "said"),
    [
        ("alap", "No pulse goes through it: this is alap."),
        ("jor", "A steady pulse goes through it, and it is played without the tabla"),
        ("alap-jhala", "without the tabla and strikes the chikari more often than the playing str"),
        ("vilambit-gat", "It is played with the tabla"),
        ("closing-jhala", "with the tabla and strikes the chikari more often"),
        ("tihai", "one phrase three times"),
        ("tan-sapat", "runs straight"),
        ("alap-tar", "mostly to tar, the upper Sa and above it"),
        ("tuk-antara", "from madhya to tar"),
        ("jhala-plain", "It has three chikari strokes after each note: this is plain jhala."),
        ("jhala-three-three-two", "has two, two and one chikari strokes after its notes, by turns"),
    ],
)
def test_an_explanation_says_what_tells_the_stage(stage, said):
    question = make_question(f"which-stage:{stage}", seed=4, setting=SETTING)
    assert said in WHICH.explain(question, stage).why


def test_every_feature_can_be_said_of_every_stage():
    for stage in form().stages.values():
        words = [described(stage.heard, [feature]) for feature in FEATURES]
        assert all(words)
        assert len(set(words)) == len(words) - (not stage.heard.pulse)


def test_no_two_choices_are_alike_in_what_the_file_tells_of_them():
    for question in asked(WHICH):
        ids = [choice.id for choice in question.choices]
        assert question.right[0] in ids
        assert all(raw_differences(*two) for two in combinations(ids, 2))
        assert not any(RAW[one].get("instead_of") for one in ids)
        parts = {
            division["id"] for division in FILE["division"] if set(ids) <= {*division["parts"]}
        }
        assert parts


def test_what_sounds_is_the_right_stage():
    for question in asked(WHICH):
        heard = RAW[question.right[0]]["heard"]
        assert bool(question.cue.tabla) == ("talas" in heard)
        voices = Counter(stroke.voice for stroke in question.cue.strokes)
        chikari = voices.pop("chikari", 0) / 2  # there are two of these strings
        assert (chikari > sum(voices.values())) == (heard["chikari"][0] > 0.5)
        wrong = next(choice.id for choice in question.choices if choice.id not in question.right)
        given = WHICH.explain(question, wrong).given_cue
        assert bool(given.tabla) == ("talas" in RAW[wrong]["heard"])
        assert (given.sa_hz, given.drone) == (question.cue.sa_hz, question.cue.drone)


def test_the_same_question_is_made_again():
    for kind in (WHICH, WHAT, REGISTER):
        skill = kind.skills()[1].id
        first, again = (make_question(skill, seed=7, setting=SETTING) for _ in range(2))
        assert first == again
        wrong = next(choice.id for choice in first.choices if choice.id not in first.right)
        assert kind.explain(first, wrong) == kind.explain(again, wrong)


def test_a_teachers_names_are_shown():
    setting = Setting(sa_hz=146.0, tradition='[stage.jor]\nname = "Barabar"\n')
    question = make_question("which-stage:jor", seed=2, setting=setting)
    assert "Barabar" in {choice.label for choice in question.choices}
    assert WHICH.explain(question, "jor").why.endswith("barabar.")
    assert "Barabar" in WHICH.introduce(question)
    assert "Barabar by ear" in {skill.name for skill in WHICH.skills_of(form(setting.tradition))}
    named = make_question("what-for:named:jor", seed=2, setting=setting)
    assert "Barabar" in {choice.label for choice in named.choices}
    heard = make_question("what-for:heard:jor", seed=2, setting=setting)
    assert "this is barabar, " in WHAT.explain(heard, "jor").why
    parts = make_question("which-stage:jor-slow", seed=2, setting=setting)
    assert parts.prompt == "You hear a passage of a barabar. Which of its parts is it?"


def test_a_stage_that_a_teacher_plays_like_another_is_not_asked_beside_it():
    figures = {field: RAW["drut-gat"]["heard"][field] for field in (*RANGES, "register")}
    alike = "[stage.madhya-gat.heard]\n" + "".join(f"{k} = {v}\n" for k, v in figures.items())
    setting = Setting(sa_hz=146.0, tradition=alike)
    for seed in range(12):
        question = make_question("which-stage:drut-gat", seed=seed, setting=setting)
        assert "madhya-gat" not in {choice.id for choice in question.choices}


@pytest.mark.parametrize("never", [(), (("a", "b"), ("a", "c"))])
def test_a_set_of_choices_does_not_tell_which_of_them_is_right(never):
    parts, pairs = tuple("abcdefgh"), tuple(map(frozenset, never))
    near = tuple(frozenset(two) for two in pairwise(parts))
    pool, size = offerable(parts, pairs)
    assert (pool, size) == (parts, 4)
    counts = {}
    for seed in range(400):
        for right in pool:
            fresh = Fresh(f"drawn beside {right}", seed)
            chosen = drawn(fresh, right, pool, size, near=near, never=pairs)
            assert right in chosen
            assert len(set(chosen)) == size
            assert not any(pair <= set(chosen) for pair in pairs)
            counts.setdefault(frozenset(chosen), Counter())[right] += 1
    # A reader who knows how often each was right with this set, and picks the most frequent.
    best = sum(max(counter.values()) for counter in counts.values())
    fair = 400 * len(pool) / size
    assert best < 1.25 * fair


def test_answers_that_would_be_known_by_their_company_are_not_offered():
    parts = ("a", "b", "c", "d")
    # Each of the first three may only stand beside the last, which would mostly be wrong.
    never = never_beside(parts, lambda one, other: "d" in (one, other))
    pool, size = offerable(parts, never)
    whole = Counter()
    for chosen, weight in fair_sets(pool, size, (), never).items():
        whole.update(dict.fromkeys(chosen, weight))
    assert len(pool) == size == 2
    assert len({round(each, 6) for each in whole.values()}) == 1


def test_a_purpose_is_told_only_from_such_as_are_surely_others():
    for question in asked(WHAT):
        (right,), ids = question.right, [choice.id for choice in question.choices]
        for one, other in combinations(ids, 2):
            assert RAW[one]["purpose"] != RAW[other]["purpose"]
            assert other not in RAW[one].get("instead_of", ())
            assert one not in RAW[other].get("instead_of", ())
        labels = {choice.id: choice.label for choice in question.choices}
        if is_heard(question):
            for one, label in labels.items():
                assert RAW[one]["purpose"].lower().startswith(label.lower())
                assert len(label) <= 90
        else:
            assert labels[right] == RAW[right]["name"]
            assert not question.cue.tabla
        # Of a purpose that a choice or the prompt has not wholly, all is told afterwards.
        purpose, why = RAW[right]["purpose"], WHAT.explain(question, right).why
        shown = " ".join((question.prompt, *labels.values())).lower()
        assert (purpose in why) != (purpose.lower() in shown)
        assert RAW[right]["about"] in why


def is_heard(question):
    return question.skill.startswith("what-for:heard:")


def by_ear():
    return {skill.id.rpartition(":")[2] for skill in WHICH.skills()}


def test_what_a_stage_is_for_is_asked_by_ear_where_it_can_be_told():
    for question in filter(is_heard, asked(WHAT)):
        (right,), ids = question.right, [choice.id for choice in question.choices]
        name = RAW[right]["name"].lower()
        assert (right in by_ear()) == (name not in question.prompt.lower())
        why = WHAT.explain(question, right).why
        if right in by_ear():
            assert question.prompt.startswith("You hear one ")
            assert all(raw_differences(*two) for two in combinations(ids, 2))
            assert set(ids) <= by_ear()
            what_tells, told = why.split(": this is ")
            assert name not in what_tells.lower()
            assert name in told
            wrong = next(one for one in ids if one != right)
            assert RAW[wrong]["name"].lower() in WHAT.explain(question, wrong).why.lower()
    named = {question.right[0] for question in filter(is_heard, asked(WHAT))} - by_ear()
    assert {"prelude", "gat-sthayi"} <= named


def test_no_purpose_that_is_asked_has_a_word_of_its_stages_names():
    empty = {"a", "an", "and", "in", "its", "of", "the", "to", "with"}
    for stage in {question.right[0] for question in asked(WHAT)}:
        names = set(" ".join((RAW[stage]["name"], *RAW[stage].get("also", ()))).lower().split())
        assert not (names - empty) & set(RAW[stage]["purpose"].lower().replace(",", "").split())


@pytest.mark.parametrize(
    ("skill", "asks"),
    [
        ("which-stage:jor", "You hear a passage of a performance. Which of its stages is it?"),
        ("which-stage:tuk-abhog", "You hear a passage of an alap. Which of its tuks is it?"),
        (
            "which-stage:gat-tans",
            "You hear a passage of the vilambit gat. Which of its parts is it?",
        ),
        ("which-stage:tan-kut", "You hear a tan. Which kind is it?"),
        ("what-for:heard:jor", "You hear one stage of a performance. What is it there for?"),
        ("what-for:heard:tuk-abhog", "You hear one tuk of an alap. What is it there for?"),
    ],
)
def test_a_prompt_names_what_is_divided_and_what_its_parts_are_called(skill, asks):
    assert make_question(skill, seed=1, setting=SETTING).prompt == asks


def mean_steps(line, rings=0.0):
    """Over the time of its notes, in matras; the last one rings on for so many."""
    notes = list(line.notes())
    matras = [float(note.matras) for note in notes]
    matras[-1] += rings
    steps = (note.swara.steps * long for note, long in zip(notes, matras, strict=True))
    return sum(steps) / sum(matras)


@pytest.mark.parametrize("path", PATHS)
def test_each_phrase_of_a_path_lies_in_its_saptak(path):
    lies = {"mandra": (-12, -1), "madhya": (1, 10), "tar": (10.5, 24)}
    # Ragas that live high or low have no phrase in some saptak: begun alone, they give way.
    some = ((), ("adana",), ("darbari", "sohni"), ("vibhas", "bahar"), ("vrindavani_sarang",))
    for seed, begun in enumerate(some * 4):
        setting = Setting(sa_hz=146.0, ragas=begun)
        question = make_question(f"register:path:{path}", seed=seed, setting=setting)
        assert question.right == (path,)
        phrases = [mean_steps(parse(text), rings=1.5) for text in question.sargam.split(" / ")]
        for saptak, steps in zip(path.split("-"), phrases, strict=True):
            assert lies[saptak][0] <= steps <= lies[saptak][1]


def test_the_usual_path_of_an_alap_is_the_one_that_the_order_of_its_stages_has():
    # An alap begins low and reaches the upper Sa last (common practice).
    path = "mandra-madhya-tar"
    question = make_question(f"register:path:{path}", seed=3, setting=SETTING)
    why = REGISTER.explain(question, path).why
    (pair,) = (
        pair
        for pair in ORDER["pair"]
        if {pair["first"], pair["then"]} == {"alap-madhya", "alap-tar"}
    )
    assert why.endswith(f"That is the usual path: {pair['why']}.")
    for path in PATHS[1:]:
        question = make_question(f"register:path:{path}", seed=3, setting=SETTING)
        whole = "The whole of an alap usually goes from mandra through madhya to tar."
        assert REGISTER.explain(question, path).why.endswith(f". {whole}")
        assert len(REGISTER.explain(question, path).why) < 160
    high_first = '[[order]]\nfirst = "{}"\nthen = "{}"\nwhy = "it lives high"\n'
    turned = "".join(
        high_first.format(*two) for two in pairwise(("alap-tar", "alap-madhya", "alap-mandra"))
    )
    setting = Setting(sa_hz=146.0, tradition=turned)
    question = make_question("register:path:tar-madhya-mandra", seed=3, setting=setting)
    why = REGISTER.explain(question, "tar-madhya-mandra").why
    assert why.endswith("That is the usual path: it lives high.")


def test_a_home_is_asked_only_where_a_source_tells_it_plainly():
    low_and_high = Counter()
    for skill in REGISTER.skills():
        _, way, raga = skill.id.split(":")
        if way == "home":
            text = (ASSETS / "ragas" / f"{raga}.toml").read_text(encoding="utf-8")
            register = tomllib.loads(text)["register"]
            assert register["confidence"] in "AB"
            saptaks = register["is"].split()
            assert saptaks == ["tar"] or ("mandra" in saptaks and "tar" not in saptaks)
            question = make_question(skill.id, seed=5, setting=SETTING)
            home = "high" if saptaks == ["tar"] else "low"
            assert question.right == (home,)
            # What is heard first does not tell; where the raga lives is heard afterwards.
            assert 2 < mean_steps(parse(question.sargam)) < 9
            explained = REGISTER.explain(question, home)
            strokes = [each for each in explained.right_cue.strokes if each.voice == "sitar"]
            cents = [each.path[-1][1] for each in strokes]
            assert median(cents) > 700 if home == "high" else median(cents) < 200
            reached = "to tar" if home == "high" else "to mandra"
            assert (reached in explained.why) == (
                max(cents) > 1150 if home == "high" else min(cents) < -50
            )
            low_and_high[home] += 1
    assert low_and_high["low"] == low_and_high["high"] >= 3


def test_a_home_that_a_teacher_gives_otherwise_is_not_asked():
    elsewhere = '[sohni]\nregister = "madhya"\n'
    assert REGISTER.asked("register:home:sohni", "")
    assert not REGISTER.asked("register:home:sohni", elsewhere)
    assert REGISTER.asked("register:home:adana", elsewhere)
    with pytest.raises(UnknownSkill):
        make_question(
            "register:home:sohni", seed=1, setting=Setting(sa_hz=146.0, tradition=elsewhere)
        )
