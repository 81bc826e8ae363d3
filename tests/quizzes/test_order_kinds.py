"""The order of stages as it is asked: put in order, what follows, what stands wrongly, what lacks.

What may come where is found here anew, by brute force from the files of the stages alone: common
practice as they tell it, with their sources beside each fact.
"""

import random
import tomllib
from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import combinations, permutations, product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quizzes import Setting, UnknownSkill, kind_of, make_question
from quizzes.catalogue import is_asked
from quizzes.kept import skills_of
from quizzes.kinds import KINDS
from quizzes.kinds.out_of_place import SIZES, evenly_placed
from quizzes.stages.order import Order, Pair, nearest

ASSETS = Path(__file__).parent.parent.parent / "assets" / "stages"
STAGES = tomllib.loads((ASSETS / "stages.toml").read_text(encoding="utf-8"))
TOLD = tomllib.loads((ASSETS / "order.toml").read_text(encoding="utf-8"))["pair"]
STAGE = {stage["id"]: stage for stage in STAGES["stage"]}
WHOLE = {
    part: division["of"]
    for division in STAGES["division"]
    for part in division["parts"]
    if division.get("of")
}
PERFORMANCE = next(
    division["parts"] for division in STAGES["division"] if division["id"] == "performance"
)
SETTING = Setting(sa_hz=138.59)
PERFORMANCES = 120
"""Performances made at random beside each question on what follows."""

TEACHER = """
[stage.jor-fast]
name = "Lari"

[[order]]
first = "madhya-gat"
then = "vilambit-gat"
strength = "fixed"
why = "the middling gat warms the hand"

[[order]]
first = "jor-slow"
then = "jor-middle"
strength = "free"
"""
TAUGHT = Setting(sa_hz=138.59, tradition=TEACHER)


def stands_for(stage):
    return STAGE[stage].get("instead_of", [])


def needs_of(stage):
    return {one for whole in wholes_of(stage) for one in STAGE[whole].get("needs", ())}


def wholes_of(stage):
    while stage:
        yield stage
        stage = WHOLE.get(stage)


def parts_of(stage):
    return [one for one in STAGE if stage in wholes_of(one)]


@cache
def pairs_that_hold(*strengths):
    """All pairs of these strengths, told, inherited or following; free ones taken out."""
    found, free = set(), set()
    for pair in TOLD:
        for two in product(parts_of(pair["first"]), parts_of(pair["then"])):
            if pair["strength"] == "free":
                free |= {two, two[::-1]}
            elif pair["strength"] in strengths:
                found.add(two)
    for between, first, then in product(STAGE, repeat=3):
        if (first, between) in found and (between, then) in found:
            found.add((first, then))
    return found - free


def all_pairs():
    return pairs_that_hold("fixed", "usual")


def fixed_pairs():
    return pairs_that_hold("fixed")


def broken(order, pairs):
    return [(then, first) for first, then in combinations(order, 2) if (then, first) in pairs]


def skills(kind):
    return [skill.id for skill in skills_of(kind)]


@cache
def question(skill, seed=0, setting=SETTING):
    return make_question(skill, seed=seed, setting=setting)


def ids(asked):
    return [choice.id for choice in asked.choices]


# --- put in order -------------------------------------------------------------------------------


@pytest.mark.parametrize("skill", skills("order"))
def test_what_is_right_is_what_brute_force_finds(skill):
    asked = question(skill)
    found = (
        {o for o in permutations(ids(asked)) if not broken(o, all_pairs())}
        if (len(asked.choices) < 8)
        else {tuple(line.split()) for line in asked.right}
    )
    assert {tuple(line.split()) for line in asked.right} == found
    assert all(not broken(order, all_pairs()) for order in found)
    assert 1 <= len(found) <= 12
    assert " ".join(ids(asked)) not in asked.right


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(skills("order")), st.randoms(use_true_random=False))
def test_credit_is_the_share_of_pairs_kept_and_whole_only_for_what_is_allowed(skill, chance):
    asked = question(skill)
    given_order = ids(asked)
    chance.shuffle(given_order)
    mark = KINDS["order"].mark(asked, " ".join(given_order))
    told = sum({two, two[::-1]} & all_pairs() != set() for two in combinations(given_order, 2))
    assert mark.credit == pytest.approx(1 - len(broken(given_order, all_pairs())) / told)
    assert mark.right == (" ".join(given_order) in asked.right)


def test_credit_falls_with_each_pair_that_is_broken():
    asked = question("order:tuks:4")
    credits = {}
    for order in permutations(ids(asked)):
        credit = KINDS["order"].mark(asked, " ".join(order)).credit
        credits.setdefault(len(broken(order, all_pairs())), set()).add(credit)
    falling = [credits[count] for count in sorted(credits)]
    assert all(len(each) == 1 for each in falling)
    assert [max(each) for each in falling] == sorted(map(max, falling), reverse=True)
    assert len(set(map(max, falling))) == len(falling) == 7


@pytest.mark.parametrize("skill", skills("order"))
def test_no_stage_comes_beside_its_parts_or_beside_what_it_stands_for(skill):
    asked = question(skill)
    for one, other in permutations(ids(asked), 2):
        assert one not in list(wholes_of(other))
        assert other not in stands_for(one)
    pairs = list(combinations(ids(asked), 2))
    ordered = sum({two, two[::-1]} & all_pairs() != set() for two in pairs)
    assert ordered >= 2 / 3 * len(pairs)
    assert asked.chance == len(asked.right) / asked.lines


def test_an_explanation_names_each_pair_that_was_broken():
    asked = question("order:performance:6")
    answered = ids(asked)
    why = KINDS["order"].explain(asked, " ".join(answered)).why.splitlines()
    for first, then in broken(answered, all_pairs()):
        one, other = (STAGE[stage]["name"].lower() for stage in (first, then))
        assert any(
            one in line.lower().partition(" before ")[0]
            and other in line.lower().partition(" before ")[2]
            for line in why
        )


def test_of_all_right_orders_the_nearest_is_shown():
    chain = [Pair(a, b, "fixed", "", "", "A") for a, b in ("ab", "bc")]
    orders = list(Order(tuple(chain), {}).orders("abcx"))
    assert "".join(nearest("bacx", orders)) == "abcx"
    assert "".join(nearest("xcab", orders)) == "xabc"


def test_a_word_on_a_part_stands_above_what_is_told_of_its_whole():
    told = [("a", "b", "fixed"), ("b", "c", "fixed"), ("b", "z", "usual")]
    pairs = tuple(Pair(first, then, how, "", "", "A") for first, then, how in told)
    order = Order(pairs, {"y": "a", "z": "a"})
    assert order.pair("y", "b").of == ("a", "b")
    assert order.pair("z", "b") is None
    assert order.pair("b", "z").strength == "usual"
    assert order.pair("z", "c").strength == "fixed"
    assert order.pair("a", "z") is None
    assert not order.circle()


def test_a_line_of_a_log_that_lacks_stages_keeps_only_the_pairs_it_has():
    asked = question("order:tuks:4")
    for line, share in (("tuk-sthayi tuk-antara tuk-sanchari", 1 / 2), ("tuk-abhog", 0)):
        explained = KINDS["order"].explain(asked, line)
        assert 0 <= KINDS["order"].mark(asked, line).credit <= share
        assert "was left out." in explained.why


# --- what follows -------------------------------------------------------------------------------


def performances(chance, *stages):
    """Performances with these stages that what is fixed allows, with whatever may lack or not."""
    for _ in range(PERFORMANCES):
        plan = [one for one in PERFORMANCE if one in stages or not stands_for(one)]
        plan = [one for one in plan if all(one not in stands_for(each) for each in stages)]
        for inner in (one for stage in stages for one in reversed(list(wholes_of(stage))[:-1])):
            if inner not in plan:
                at = plan.index(WHOLE[inner])
                plan[at : at + 1] = next(
                    division["parts"]
                    for division in STAGES["division"]
                    if inner in division["parts"]
                )
        if not set(stages) <= set(plan):
            return  # what is played instead of a stage never comes beside it
        played = [
            one
            for one in plan
            if one in stages or not STAGE[one].get("may_lack") or chance.random() < 0.5
        ]
        if any(
            not needs_of(one) <= {each for p in played for each in wholes_of(p)} for one in played
        ):
            continue
        yield _some_order(chance, played)


def _some_order(chance, stages):
    """An order that no fixed pair forbids, each as it comes."""
    rest, order = list(stages), []
    while rest:
        free = [one for one in rest if not any((other, one) in fixed_pairs() for other in rest)]
        order.append(chance.choice(free))
        rest.remove(order[-1])
    return order


@pytest.mark.parametrize("skill", skills("follows"))
def test_what_is_wrong_never_stands_there_and_what_is_right_can(skill):
    _, sort, stage = skill.split(":")
    asked, right = question(skill), question(skill).right[0]
    wrong = set(ids(asked)) - {right}
    later = asked.detail["side"] == "after"
    if sort == "never":
        assert ((right, stage) if later else (stage, right)) in fixed_pairs()
        for one in wrong:
            assert ((stage, one) if later else (one, stage)) in all_pairs()
    else:
        near, all_wrong = set(), set()
        for one in (right, *wrong):
            for order in performances(random.Random(skill), stage, one):
                at = order.index(stage)
                there = order[at + 1 : at + 2] if later else order[:at][-1:]
                (near if one == right else all_wrong).update({one} & set(there))
        assert near == {right}
        assert not all_wrong
    assert right in asked.possible
    assert asked.chance <= 1 / 2


def test_what_is_never_there_is_asked_of_both_sides():
    asked = [question("follows:never:jor", seed) for seed in range(12)]
    assert {each.detail["side"] for each in asked} == {"before", "after"}
    for each in asked:
        assert ("later" in each.prompt) == (each.detail["side"] == "after")
        two = (each.right[0], "jor") if each.detail["side"] == "after" else ("jor", each.right[0])
        assert two in fixed_pairs()


# --- out of place, left out ---------------------------------------------------------------------


@pytest.mark.parametrize("skill", skills("out-of-place"))
def test_only_the_stage_out_of_place_can_be_moved_to_mend_the_order(skill):
    asked = question(skill)
    shown, right = asked.detail["shown"], asked.right[0]
    assert "\u00a0› ".join(STAGE[stage]["name"] for stage in shown) in asked.prompt
    assert sorted(shown) == sorted(ids(asked))

    def mends(stage, pairs):
        rest = [one for one in shown if one != stage]
        return any(not broken([*rest[:at], stage, *rest[at:]], pairs) for at in range(len(shown)))

    assert [stage for stage in shown if mends(stage, fixed_pairs())] == [right]
    assert mends(right, all_pairs())


def test_what_stands_for_others_is_not_out_of_place_whenever_it_is_shown():
    gats = ("vilambit-gat", "madhya-gat", "drut-gat", "closing-jhala", "tihai")
    asked = [question(f"out-of-place:{gat}", seed) for gat in gats for seed in range(8)]
    beside = [each for each in asked if "prelude" in ids(each)]
    assert len(beside) > 2
    assert all("prelude" in each.possible for each in beside)


def test_each_place_is_shared_out_as_evenly_as_can_be():
    can_stand = {"a": [2, 3], "b": [3], "c": [0, 1, 3], "d": [0, 1, 2, 3]}
    share = evenly_placed(can_stand, 4)
    for thing, places in can_stand.items():
        assert set(share[thing]) == set(places)
        assert sum(share[thing].values()) == pytest.approx(1)
    for place in range(4):
        assert sum(each.get(place, 0) for each in share.values()) == pytest.approx(1, abs=0.05)


def test_what_is_out_of_place_is_not_known_by_the_place_where_it_is_shown():
    shown = Counter()
    for skill in skills("out-of-place"):
        for seed in range(2):
            asked = question(skill, seed)
            places = asked.detail["shown"]
            shown[places.index(asked.right[0]), len(places)] += 1
    for size in SIZES:
        of_size = [shown[place, size] for place in range(size)]
        assert max(of_size) < 0.4 * sum(of_size)
        assert min(of_size) > 0


def is_needed(stage, others):
    """Whether a stage cannot lack among others: one of them needs it, or needs what needs it, or it
    is of the parts into which a stage is always divided, where it is divided at all."""
    needed = set().union(*map(needs_of, others))
    needed |= set().union(*map(needs_of, needed))
    return stage in needed or (stage in WHOLE and not STAGE[stage].get("may_lack"))


@pytest.mark.parametrize("skill", skills("missing"))
def test_nothing_else_that_is_offered_could_stand_in_the_gap(skill):
    asked = question(skill)
    before, after = asked.detail["before"], asked.detail["after"]
    for stage in ids(asked):
        order = [*before, stage, *after]
        if stage in asked.right:
            assert not broken(order, all_pairs())
            assert is_needed(stage, (*before, *after))
        else:
            assert broken(order, fixed_pairs())
    # Early stages are seldom wrong, so that names alone tell much: the chance that is kept says so.
    assert 1 / 2 < asked.chance < 2 / 3


# --- a teacher's word ---------------------------------------------------------------------------


def test_a_stage_renamed_by_a_teacher_is_called_so_everywhere():
    for skill in ("order:performance:9", "follows:next:jor-middle", "out-of-place:jor-fast"):
        seed = next(s for s in range(40) if "jor-fast" in ids(question(skill, s, TAUGHT)))
        asked, kind = question(skill, seed, TAUGHT), kind_of(skill)
        texts = [asked.prompt, kind.introduce(asked), *(c.label for c in asked.choices)]
        given_line = " ".join(ids(asked)) if asked.is_line else ids(asked)[0]
        explained = kind.explain(asked, given_line)
        texts += [explained.why, explained.right_label, explained.given_label]
        assert "Lari" in [choice.label for choice in asked.choices]
        assert not any("drut jor" in text.lower() for text in texts)


def test_a_gat_moved_by_a_teacher_changes_questions_and_marking():
    assert question("follows:next:madhya-gat").right == ("drut-gat",)
    assert question("follows:next:madhya-gat", 0, TAUGHT).right == ("vilambit-gat",)
    skill = "order:performance:4"
    seed = next(
        s for s in range(40) if {"madhya-gat", "vilambit-gat"} <= set(ids(question(skill, s)))
    )
    usual = question(skill, seed)
    moved = next(
        asked
        for asked in (question(skill, s, TAUGHT) for s in range(40))
        if {"madhya-gat", "vilambit-gat"} <= set(ids(asked))
    )
    for asked, first in ((usual, "vilambit-gat"), (moved, "madhya-gat")):
        for line in asked.right:
            gats = [stage for stage in line.split() if stage in ("madhya-gat", "vilambit-gat")]
            assert gats[0] == first
            swapped = " ".join({gats[0]: gats[1], gats[1]: gats[0]}.get(s, s) for s in line.split())
            assert KINDS["order"].mark(asked, swapped).credit < 1
    why = KINDS["order"].explain(moved, " ".join(ids(moved)[::1])).why
    assert "so your teacher has it" not in why


def test_what_a_teacher_leaves_free_is_never_marked_wrong_and_not_asked_where_nothing_is_left():
    assert is_asked("order:jor-parts:3", "")
    assert is_asked("order:jor-parts:3", TEACHER)  # the third part comes last as before
    asked = question("order:jor-parts:3", 1, TAUGHT)
    for line in ("jor-slow jor-middle jor-fast", "jor-middle jor-slow jor-fast"):
        assert KINDS["order"].mark(asked, line).right
    free = TEACHER + '[[order]]\nfirst = "jor-fast"\nthen = "jor-middle"\nstrength = "free"\n'
    assert not is_asked("order:jor-parts:3", free)
    asked = question("follows:next:jor-slow", 0, TAUGHT)
    assert asked.right == ("jor-fast",)
    assert "jor-middle" not in ids(asked)
    with pytest.raises(UnknownSkill):
        question("order:jor-parts:3", 0, Setting(sa_hz=138.59, tradition=free))


@pytest.mark.parametrize(
    ("first", "then"),
    # Common practice: an alap may lead to a gat without jor, and a jor without the alap's jhala.
    [
        ("alap", "vilambit-gat"),
        ("alap", "drut-gat"),
        ("jor", "vilambit-gat"),
        ("jor", "madhya-gat"),
    ],
)
def test_a_gat_after_alap_or_jor_alone_is_never_called_wrong(first, then):
    for sort, stage, other in (("next", first, then), ("before", then, first)):
        for seed in range(8):
            asked = question(f"follows:{sort}:{stage}", seed)
            assert other not in ids(asked) or other in asked.right


def test_what_grows_out_of_a_stage_never_stands_without_it():
    # Common practice: the jhala of an alap is a jor grown faster.
    offered = {one for seed in range(12) for one in ids(question("follows:next:alap", seed))}
    assert "alap-jhala" in offered
    assert "missing:alap-jhala" not in skills("missing")
    assert not is_asked("missing:jor", "[stage.alap-jhala]\nneeds = []")


@pytest.mark.parametrize("part", parts_of("vilambit-gat")[1:])
def test_a_part_of_the_slow_gat_is_not_named_as_if_it_were_of_any_gat(part):
    # Common practice: middling and fast gats have an antara, vistar and tans of their own.
    if WHOLE[part] == "vilambit-gat":
        assert all("vilambit" in name for name in (STAGE[part]["name"], *STAGE[part]["also"]))


@pytest.mark.parametrize("kind", ["order", "out-of-place"])
def test_no_reason_is_said_twice(kind):
    for skill in skills(kind)[::3]:
        asked = question(skill, 18)
        answer = " ".join(ids(asked)) if asked.is_line else ids(asked)[0]
        lines = KINDS[kind].explain(asked, answer).why.splitlines()
        reasons = [line.partition(": ")[2] for line in lines if " before " in line]
        assert len(set(reasons)) == len(reasons)


def test_the_right_name_is_no_more_often_the_longest_than_others():
    asked = [question(skill, seed) for skill in skills("follows") for seed in (0, 3)]
    longer = Counter(
        sum(len(c.label) > len(each.choice(each.right[0]).label) for c in each.choices)
        for each in asked
    )
    assert max(longer.values()) < 0.4 * len(asked)


GATS_FREE = '[[order]]\nfirst = "jor"\nthen = "alap-jhala"\nstrength = "free"\n'


@pytest.mark.parametrize("kind", ["order", "follows", "out-of-place", "missing"])
def test_what_a_teacher_leaves_free_of_a_whole_is_free_of_its_parts_in_every_kind(kind):
    free = Setting(sa_hz=138.59, tradition=GATS_FREE)
    for skill in skills_of(kind):
        if not is_asked(skill.id, GATS_FREE):
            continue
        asked = question(skill.id, 3, free)
        jors = {"jor", *parts_of("jor")}
        for line in asked.right if kind == "order" else ():
            order = line.split()
            if "alap-jhala" in order and jors & set(order):
                moved = [one for one in order if one != "alap-jhala"]
                at = min(moved.index(one) for one in jors & set(order))
                moved.insert(at, "alap-jhala")
                assert " ".join(moved) in asked.right
        if kind == "follows" and skill.id.endswith(":alap-jhala"):
            assert not jors & set(asked.right)
        if kind == "out-of-place":
            explained = KINDS[kind].explain(asked, asked.right[0]).why
            assert "until nothing but the chikari" not in explained
        if kind == "missing":
            shown = {*asked.detail["before"], *asked.detail["after"]}
            assert not (asked.right[0] in jors and shown == {"alap-jhala"})


def test_stages_that_were_met_are_put_in_order_before_others_are():
    met = ("alap", "alap-jhala", "jor")
    skill = "order:performance:3"
    for seed in range(8):
        begun = make_question(skill, seed=seed, setting=replace(SETTING, stages=met))
        assert {choice.id for choice in begun.choices} == set(met)
    too_few = [
        make_question(skill, seed=seed, setting=replace(SETTING, stages=met[:2]))
        for seed in range(8)
    ]
    assert len({frozenset(choice.id for choice in asked.choices) for asked in too_few}) > 3
