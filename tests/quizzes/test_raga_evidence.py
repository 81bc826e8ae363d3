"""What tells one raga from another: worked examples from the trade, in sound and in words."""

import pytest

from audio.sargam import parse
from quizzes.fresh import Fresh
from quizzes.ragas import as_other, ragas, separates, surely_breaks, swaras_of, why
from quizzes.ragas.choosing import group_of, near_pairs, offered, shared_strings
from quizzes.ragas.evidence import by_register, by_rest, by_treatment, tells_by_rest

ALL = ragas()


def told(text, right, other):
    line = parse(text)
    found = separates(line, ALL[right], ALL[other])
    return found and (found.by, found.of), found and why(found, line, ALL[right], ALL[other])


# Common practice; the first four as textbooks tell these pairs apart.
@pytest.mark.parametrize(
    ("text", "right", "other", "evidence", "words"),
    [
        (
            "D, n, r S", "ahir_bhairav", "bhairav", ("note", 0),
            "Shuddha Dha was heard; Bhairav has komal Dha.",
        ),
        (
            "m P d n S'", "jaunpuri", "asavari", ("run", 3),
            "The rise to Sa passed komal Ni; Asavari leaves komal Ni out on the way up.",
        ),
        (
            "n, S g m P", "bhimpalasi", "bageshri", None, None,
        ),
        (
            "D:2 M G r:3", "marwa", "puriya", ("rest", 3),
            "It rested on komal Re, the vadi of Marwa; Puriya rests on Ga, Ni and Sa.",
        ),
        (
            "M' D' N' S'' r'' S''", "sohni", "puriya", ("register", 4),
            "It lay in tar, where Sohni lives; Puriya lives in mandra and madhya.",
        ),
        ("G m r~:2 S", "bhairav", "kalingada", ("treatment", 2),
         "Komal Re swung slowly; Kalingada holds it still."),
        ("G m r:2 S", "kalingada", "bhairav", ("treatment", 2),
         "Komal Re was held still; in Bhairav it swings slowly."),
        ("S R G R S", "bhupali", "deshkar", None, None),
    ],
)  # fmt: skip
def test_what_tells_two_ragas_apart_is_told_in_a_sentence(text, right, other, evidence, words):
    assert told(text, right, other) == (evidence, words)


def test_a_rest_tells_only_where_the_other_raga_never_rests_and_both_vadis_are_sure():
    for right in ALL.values():
        for other in ALL.values():
            if right is not other and tells_by_rest(right, other):
                vadi = right.vadi.value[0]
                assert vadi not in other.nyas.value
                assert vadi not in {pair[0] for pair in other.pairs}
                assert right.vadi.sure
                assert other.vadi.sure


def test_a_passing_swara_is_no_rest_and_a_still_one_no_swing():
    marwa, puriya = ALL["marwa"], ALL["puriya"]
    assert by_rest(parse("D M G r"), marwa, puriya) is None
    assert by_register(parse("G M D M G r"), ALL["sohni"], puriya) is None
    assert by_treatment(parse("G m r S"), ALL["bhairav"], ALL["kalingada"]) is None


@pytest.mark.parametrize(
    ("text", "right", "other", "turned"),
    [
        ("D, n, r S", "ahir_bhairav", "bhairav", "d, N, r S"),
        ("m P d n S'", "jaunpuri", "asavari", "m P d S'"),
        ("G m r~:2 S", "bhairav", "kalingada", "G m r S"),
        ("G M D N S'", "sohni", "puriya", None),
    ],
)
def test_the_other_raga_makes_the_same_turn_in_its_own_way(text, right, other, turned):
    line = parse(text)
    found = separates(line, ALL[right], ALL[other])
    if turned is None:
        assert found is None
        return
    made = swaras_of(as_other(found, line, ALL[other]))
    assert " ".join(map(str, made)) == turned
    assert surely_breaks(ALL[other], made) is None


def test_a_group_is_the_same_for_all_its_members():
    pool, near = tuple(ALL), near_pairs(ALL)
    for seed in range(8):
        for one in pool[::7]:
            group = group_of(one, pool, 4, seed=seed, near=near)
            assert one in group
            assert {group_of(member, pool, 4, seed=seed, near=near) for member in group} == {group}


def test_a_group_holds_near_ragas_more_often_than_chance_would():
    pool, near = tuple(ALL), near_pairs(ALL)
    beside = sum(
        frozenset(("yaman", other)) in near
        for seed in range(100)
        for other in group_of("yaman", pool, 4, seed=seed, near=near)
        if other != "yaman"
    )
    share = sum("yaman" in pair for pair in near) / (len(pool) - 1)
    assert beside / 300 > 3 * share


def test_what_is_offered_shares_a_drone_and_holds_whom_the_student_confuses():
    taken = 0
    for seed in range(100):
        ids = offered(
            Fresh("x", seed), "bhupali", met=tuple(ALL)[:12], rivals=("deshkar",), ragas=ALL,
            size=4, seed=seed, fits=lambda raga: True, weights=dict.fromkeys(ALL, 1.0),
        )  # fmt: skip
        assert len(set(ids)) == 4
        assert "bhupali" in ids
        assert shared_strings([ALL[one] for one in ids])
        taken += "deshkar" in ids
    assert taken > 60
