"""Sharing out the time of a performance: ranges, marking, and how likely a blind division is."""

import re
import tomllib
from dataclasses import replace
from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quizzes import Setting, UnknownSkill, make_question
from quizzes.catalogue import is_asked
from quizzes.errors import StageError
from quizzes.kept import skills_of
from quizzes.kinds import KINDS
from quizzes.stages.layouts import FILE, layouts, load_layouts
from quizzes.stages.reading import STAGES
from quizzes.stages.sharing import Layout, Part, divisions, within
from quizzes.stages.tradition import form
from quizzes.tradition import TraditionError, load_tradition

KIND = KINDS["layout"]
SKILLS = tuple(skill.id for skill in skills_of(KIND.name))
SETTING = Setting(sa_hz=146.83)
GAITS = {
    path.stem: tomllib.loads(path.read_text("utf-8"))["gait"]["is"].split()
    for path in STAGES.parent.glob("ragas/*.toml")
    if path.stem != "sources"
}


def layout_of(ranges, whole):
    parts = [Part(str(at), least, most, "", "C", "") for at, (least, most) in enumerate(ranges)]
    return Layout(whole, "grave", tuple(parts))


@st.composite
def some_layouts(draw):
    """Ranges among which a whole can be shared out."""
    leasts = draw(st.lists(st.integers(1, 6), min_size=2, max_size=5))
    ranges = [(least, least + draw(st.integers(0, 6))) for least in leasts]
    low, high = (sum(one[end] for one in ranges) for end in (0, 1))
    return layout_of(ranges, draw(st.integers(low, high)))


def all_divisions(whole, count):
    """By force: every way to share out a whole, each part at least 1."""
    for shares in product(range(1, whole), repeat=count - 1):
        if sum(shares) < whole:
            yield (*shares, whole - sum(shares))


@given(st.integers(4, 11), st.integers(2, 4), st.data())
def test_counting_agrees_with_brute_force(whole, count, data):
    ranges = [
        sorted(data.draw(st.tuples(st.integers(1, whole), st.integers(1, whole))))
        for _ in range(count)
    ]
    known = list(all_divisions(whole, count))
    fitting = [
        each for each in known if all(a <= n <= b for n, (a, b) in zip(each, ranges, strict=True))
    ]
    assert divisions(whole, count) == len(known)
    assert within(ranges, whole) == len(fitting)


@given(some_layouts())
def test_what_is_called_sensible_lies_in_every_range_and_goes_up(layout):
    sensible = layout.sensible
    assert sum(sensible) == layout.minutes
    assert all(p.least <= n <= p.most for p, n in zip(layout.parts, sensible, strict=True))


@given(some_layouts(), st.data())
def test_credit_is_whole_exactly_within_the_ranges(layout, data):
    cuts = data.draw(
        st.lists(
            st.integers(0, layout.minutes),
            min_size=len(layout.parts) - 1,
            max_size=len(layout.parts) - 1,
        )
    )
    edges = [0, *sorted(cuts), layout.minutes]
    shares = [after - before for before, after in pairwise(edges)]
    inside = all(p.least <= n <= p.most for p, n in zip(layout.parts, shares, strict=True))
    assert (layout.credit(shares) == 1.0) == inside
    assert 0.0 <= layout.credit(shares) <= 1.0
    assert bool(layout.missed(shares)) != inside


@given(some_layouts(), st.data())
def test_credit_falls_as_minutes_are_moved_out(layout, data):
    giver, taker = data.draw(st.permutations(range(len(layout.parts))))[:2]
    shares, credits = list(layout.sensible), []
    while shares[giver] >= 0:
        credits.append(layout.credit(shares))
        shares[giver] -= 1
        shares[taker] += 1
    assert credits[0] == 1.0
    assert credits == sorted(credits, reverse=True)
    outside = [credit for credit in credits if credit < 1.0]
    # By every minute, until nothing is left to lose.
    assert all(a > b for a, b in pairwise(outside) if a > 0.0)


@pytest.mark.parametrize("key", layouts())
def test_a_bar_as_it_starts_is_never_right_and_a_near_miss_loses_little(key):
    layout = layouts()[key]
    each, over = divmod(layout.minutes, len(layout.parts))
    evens = [
        tuple(each + (at in more) for at in range(len(layout.parts)))
        for more in ({*range(over)}, {*range(len(layout.parts) - over, len(layout.parts))})
    ]
    assert all(layout.missed(even) for even in evens)
    assert layout.even == evens[0]
    assert layout.credit(layout.even) == 0.0
    near, closing = list(layout.sensible), layout.parts[-1]
    while near[-1] <= closing.most:
        slack = [n - part.least for part, n in zip(layout.parts[:-1], near, strict=False)]
        near[slack.index(max(slack))] -= 1
        near[-1] += 1
    assert layout.missed(near) == [(closing, near[-1])]
    assert 0.4 < layout.credit(near) < 1.0


def test_the_chance_of_a_question_is_that_of_a_blind_division():
    for skill in ("layout:20:grave", "layout:20:light"):
        question = make_question(skill, seed=1, setting=SETTING)
        known = list(all_divisions(20, len(question.choices)))
        right = sum(KIND.mark(question, " ".join(map(str, each))).right for each in known)
        assert question.lines == round(len(known) / right)
        assert question.chance == 1 / question.lines


def test_ragas_are_of_the_gait_that_is_asked():
    for skill in SKILLS:
        for seed in range(12):
            ragas = tuple(GAITS)[seed::12]
            question = make_question(skill, seed=seed, setting=replace(SETTING, ragas=ragas))
            gaits = GAITS[question.detail["raga"]]
            assert {
                "grave": gaits == ["grave"],
                "medium": "medium" in gaits and "light" not in gaits,
                "light": gaits[0] == "light" and "grave" not in gaits,
            }[skill.rpartition(":")[2]]


def test_a_raga_that_the_student_has_begun_goes_before():
    begun = replace(SETTING, ragas=("shri", "pilu"))
    for seed in range(5):
        assert make_question("layout:60:grave", seed=seed, setting=begun).detail["raga"] == "shri"
        assert make_question("layout:20:light", seed=seed, setting=begun).detail["raga"] == "pilu"


def test_what_is_usual_is_told_by_the_gait_and_by_the_time():
    known = {key: {part.stage: part for part in each.parts} for key, each in layouts().items()}
    for minutes in (30, 45, 60, 90, 120):
        # Common practice: the graver the raga, the longer its alap.
        grave, medium = (known[minutes, gait]["alap"] for gait in ("grave", "medium"))
        assert (grave.least, grave.most) > (medium.least, medium.most)
    # Wikipedia, Alap (read in 2026): "can last for more than an hour".
    assert known[120, "grave"]["alap"].most > 60
    for (_, gait), parts in known.items():
        # Wikipedia, Alap: auchar is the shortest alap; it stands for all of it.
        assert "prelude" not in parts or not {"alap", "jor", "alap-jhala"} & {*parts}
        assert ("prelude" in parts) or gait != "light"
        assert parts["closing-jhala"].most <= min(part.most for part in parts.values()) + 1


@pytest.mark.parametrize("skill", SKILLS)
def test_an_explanation_tells_of_each_stage_that_was_missed(skill):
    question = make_question(skill, seed=5, setting=SETTING)
    layout = layouts()[int(skill.split(":")[1]), skill.split(":")[2]]
    few = len(question.choices) - 1
    shares = [question.whole - few, *[1] * few]
    explained = KIND.explain(question, " ".join(map(str, shares)))
    for part, minutes in zip(layout.parts, shares, strict=True):
        missed = not part.least <= minutes <= part.most
        assert (part.why in explained.why) == missed
        usual = f"{part.least} to {part.most}( minutes)?, not {minutes}\\b"
        assert bool(re.search(usual, explained.why)) == missed
    assert KIND.explain(question, question.right[0]).given_cue is None


def test_the_stages_are_heard_in_turn_each_as_long_as_its_share():
    question = make_question("layout:60:grave", seed=2, setting=SETTING)
    explained = KIND.explain(question, "10 10 10 10 10 10")
    for score, shares in (
        (explained.right_cue, question.shared(question.right[0])),
        (explained.given_cue, (10,) * 6),
    ):
        assert score.duration_s <= 25.0
        ends, begin = [], score.lead_s
        for minutes in shares:
            ends.append(begin + 22.0 * minutes / 60)
            begin = ends[-1] + 0.35
        # The tabla comes with the fourth stage, the slow gat, and not before; to half a second.
        first = min(stroke.onset_s for stroke in score.tabla) + score.lead_s
        assert abs(first - ends[2] - 0.35) < 0.5


# A teacher's word.


@pytest.mark.parametrize("key", layouts())
def test_every_range_may_be_taught_otherwise(key):
    minutes, gait = key
    for part in layouts()[key].parts:
        wanted = max(1, round(part.most / 2))
        share = [wanted / minutes, wanted / minutes]
        text = (
            f'[[layout]]\nstage = "{part.stage}"\nminutes = [{minutes}]\ngaits = ["{gait}"]\n'
            f'share = {share}\nwhy = "so it is here"\n'
        )
        taught = layouts(text)[key]
        found = next(each for each in taught.parts if each.stage == part.stage)
        assert (found.least, found.most, found.source) == (wanted, wanted, "your teacher")
        assert sum(taught.sensible) == minutes
        assert taught.credit(taught.sensible) == 1.0
        setting = replace(SETTING, tradition=text)
        question = make_question(f"layout:{minutes}:{gait}", seed=1, setting=setting)
        assert KIND.mark(question, question.right[0]).right


def test_a_table_without_minutes_and_gaits_holds_wherever_its_stage_stands():
    taught = layouts('[[layout]]\nstage = "alap"\nshare = [0.4, 0.5]\n')
    for key, layout in layouts().items():
        for before, after in zip(layout.parts, taught[key].parts, strict=True):
            assert before.stage == after.stage
            if before.stage == "alap":
                assert 0.4 * key[0] <= after.least <= after.most <= 0.5 * key[0]


def test_ours_yield_where_the_whole_no_longer_goes_up():
    text = '[[layout]]\nstage = "alap"\nminutes = [60]\ngaits = ["grave"]\nshare = [0.85, 0.9]\n'
    taught = layouts(text)[60, "grave"]
    assert sum(part.least for part in taught.parts) <= 60
    assert all(part.least >= 1 for part in taught.parts)
    assert 51 <= taught.sensible[0] <= 54


def test_a_stage_may_be_brought_in_and_left_out():
    text = (
        '[[layout]]\nstage = "alap"\nminutes = [20]\ngaits = ["light"]\nshare = [0.2, 0.4]\n'
        '[[layout]]\nstage = "closing-jhala"\nminutes = [20]\nshare = [0, 0]\n'
    )
    # The alap takes the place of the prelude, which stands instead of it.
    stages = {key: [part.stage for part in each.parts] for key, each in layouts(text).items()}
    assert stages[20, "light"] == ["alap", "madhya-gat", "drut-gat"]
    assert stages[20, "grave"] == ["alap", "vilambit-gat", "drut-gat"]
    assert stages[30, "light"] == [part.stage for part in layouts()[30, "light"].parts]


def test_the_stages_stand_in_the_teachers_order_and_bear_his_names():
    text = (
        '[[order]]\nfirst = "drut-gat"\nthen = "vilambit-gat"\n'
        '[stage.closing-jhala]\nname = "Jhala at the end"\n'
    )
    question = make_question("layout:60:grave", seed=1, setting=replace(SETTING, tradition=text))
    ids = [choice.id for choice in question.choices]
    assert ids.index("drut-gat") < ids.index("vilambit-gat")
    assert form(text).order.allows(ids)
    assert "Jhala at the end" in {choice.label for choice in question.choices}


@pytest.mark.parametrize(
    ("text", "skill"),
    [
        (
            "".join(
                f'[[layout]]\nstage = "{part.stage}"\nminutes = [20]\ngaits = ["light"]\n'
                "share = [0.2, 0.35]\n"
                for part in layouts()[20, "light"].parts
            ),
            "layout:20:light",
        ),
        (
            "".join(
                f'[[layout]]\nstage = "{part.stage}"\nminutes = [30]\ngaits = ["light"]\n'
                "share = [0, 0]\n"
                for part in layouts()[30, "light"].parts
            ),
            "layout:30:light",
        ),
    ],
)
def test_what_a_teacher_leaves_open_is_not_asked(text, skill):
    assert is_asked(skill, "")
    assert not is_asked(skill, text)


# Faults.


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('stage = "jor"', 'stage = "jorr"', r"layout 4, stage: 'jorr' is not known; it should be"),
        ("minutes = [20]\n", "minutes = [25]\n", r"layout 1, minutes: 25 should be one of 20, 30,"),
        (
            'gaits = ["grave"]',
            'gaits = ["slow"]',
            r"layout 1, gaits: 'slow' should be one of grave",
        ),
        ("share = [0.3, 0.6]", "share = [0.6, 0.3]", r"layout 1, share: should be two numbers, fr"),
        ("share = [0.3, 0.6]", "share = [0.31, 0.34]", r"layout 1, share: holds no whole minute o"),
        ("share = [0.3, 0.6]", "share = [0.9, 0.95]", r"all stages take 24 minutes at least; wid"),
        (
            'minutes = [30]\ngaits = ["grave"]',
            'minutes = [20]\ngaits = ["grave"]',
            r"alap stands t",
        ),
        ('stage = "jor"\nminutes = [30', 'stage = "prelude"\nminutes = [30', r"stands beside alap"),
        ("why = ", "reason = ", r"layout 1, reason: is not known; known are confidence, gaits"),
        ("minutes = [20, 30, 45, 60, 90, 120]", "minutes = []", r"minutes: 20 should be one of"),
        ('confidence = "C"', 'confidence = "sure"', r"layout 1, confidence: 'sure' is not known"),
    ],
)
def test_a_fault_of_the_file_is_told_with_its_place_and_remedy(tmp_path, old, new, told):
    text = (STAGES / FILE).read_text("utf-8")
    assert old in text
    (tmp_path / FILE).write_text(text.replace(old, new, 1), "utf-8")
    with pytest.raises(StageError, match=rf"layout\.toml, line \d+.*{told}"):
        load_layouts(form(), tmp_path)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('stage = "jor"', r"line 1: layout 1, share: should be two numbers, from and to"),
        ('stage = "jor"\nminutes = [20]\nshare = [0.1, 0.2]', r"stage: jor stands in no such lay"),
        ('stage = "alap"\nminutes = [61]\nshare = [0.1, 0.2]', r"line 3: .*61 should be one of 20"),
        ('stage = "alap"\nshare = [0.4, 0.5]\nhow = 1', r"line 4: layout 1, how: is not known"),
        ('stage = "alap"\nshare = [0.9, 1]', r"share: in 20 minutes of a grave raga all stages ta"),
    ],
)
def test_a_fault_of_a_teachers_file_is_told_too(tmp_path, text, told):
    path = tmp_path / "mine.toml"
    path.write_text(f"[[layout]]\n{text}\n", "utf-8")
    with pytest.raises(TraditionError, match=rf"mine\.toml.*{told}"):
        load_tradition(path)


@pytest.mark.parametrize("given", ["", "10 10", "20 20 10 10", "a b c d", "21 -1 0 0"])
def test_an_answer_that_could_not_be_given_is_refused(given):
    with pytest.raises(KeyError):
        KIND.mark(make_question("layout:20:grave", seed=1, setting=SETTING), given)


@pytest.mark.parametrize("skill", ["layout:25:grave", "layout:120:light", "layout:060:grave"])
def test_a_layout_that_is_not_known_is_refused(skill):
    with pytest.raises(UnknownSkill):
        KIND.make(skill, seed=1, setting=SETTING)
