"""Thekas put in order, written, filled in and clapped, against the strokes of the cue.

What is heard is read from the strokes by `tala_oracle`, which knows bols and files by itself.
"""

from collections import Counter
from fractions import Fraction
from itertools import permutations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from quizzes.choice_sets import fair_sets
from quizzes.errors import UnknownSkill
from quizzes.kept import skills_of
from quizzes.kinds.theka import ThekaKind
from quizzes.question import Setting
from quizzes.talas import talas
from tests.quizzes.tala_oracle import STRUCK, syllables

KIND = ThekaKind()
SKILLS = tuple(skill.id for skill in skills_of(KIND.name))
seeds = st.integers(0, 2**63 - 1)
TEACHER = """
[tala.jhaptal]
vibhags = [2, 3, 3, 2]
tali = [1, 3, 9]
khali = [6]
[[tala.jhaptal.theka]]
bols = "dhi na | dhi dhi na | tin tin na | dhi na"
"""


def of(way):
    return st.sampled_from([skill for skill in SKILLS if f":{way}:" in skill])


def ask(skill, seed, *, met=(), tradition=""):
    return KIND.make(skill, seed=seed, setting=Setting(sa_hz=277.18, met=met, tradition=tradition))


def parted(line):
    """The words of each vibhag."""
    return [tuple(part.split()) for part in line.split("|")]


def sound(word, *, ta="ta"):
    """What is struck when in one matra, as the oracle has it; `ta` may be read as another."""
    parts = syllables(word)
    return tuple(
        (Fraction(at, len(parts)), *STRUCK.get({"ta": ta}.get(part, part), ("closed", "")))
        for at, part in enumerate(parts)
        if part != "-"
    )


def heard(question):
    """Of each matra of the cue what is struck, from its strokes, its tempo and its length."""
    _, _, rest = question.sargam.partition(" from matra ")
    first, _, rest = rest.partition(", ")
    matras, _, rest = rest.partition(" matras at ")
    matra_s = 60 / Fraction(rest.partition(":")[0])
    found = [[] for _ in range(int(matras) + 1)]
    for stroke in question.cue.tabla:
        at = round(Fraction(stroke.onset_s) / matra_s * 720)
        whole, part = divmod(at, 720)
        found[whole].append((Fraction(part, 720), *STRUCK.get(stroke.bol, ("closed", ""))))
    return int(first), [tuple(each) for each in found[: int(matras)]]


def cycle_from_sam(question, length):
    first, matras = heard(question)
    begins = (1 - first) % length
    return (matras * 2)[begins : begins + length]


@given(of("order"), seeds, st.booleans())
def test_the_right_orders_are_those_that_sound_as_the_theka_did_from_sam(skill, seed, known):
    question = ask(skill, seed, met=(skill,) if known else ())
    (struck,) = {  # the vibhags as they are said, with the bols that they stand for
        tuple(zip(parted(theka.words), parted(theka.bols), strict=True))
        for theka in KIND.tala_of(skill, question.setting, parts=2).thekas
        if theka.bols == question.detail["theka"]
    }
    bols = {" ".join(said): vibhag for said, vibhag in struck}
    vibhags = {
        choice.id: [sound(word) for word in bols[choice.label.partition(" (")[0]]]
        for choice in question.choices
    }
    length = sum(map(len, vibhags.values()))
    wanted = cycle_from_sam(question, length)
    if len(vibhags) <= 6:
        found = {
            " ".join(line)
            for line in permutations(vibhags)
            if [matra for key in line for matra in vibhags[key]] == wanted
        }
        assert found == set(question.right)
    for line in question.right:
        assert [matra for key in line.split() for matra in vibhags[key]] == wanted
        assert KIND.mark(question, line).credit == 1.0
    offered = [choice.id for choice in question.choices]
    assert KIND.mark(question, " ".join(offered)).credit < 1.0
    assert len(question.right) <= 12
    assert question.chance <= 1 / 10


def test_a_theka_begins_at_sam_until_it_has_been_met_and_then_anywhere():
    new = {heard(ask("theka:order:jhaptal", seed))[0] for seed in range(20)}
    met = {heard(ask("theka:order:jhaptal", s, met=("theka:order:jhaptal",)))[0] for s in range(30)}
    assert new == {1}
    assert met == {3, 6, 8}


@given(of("order"), seeds)
def test_a_backward_order_earns_nothing_and_one_exchange_something(skill, seed):
    question = ask(skill, seed)
    line = question.right[0].split()
    labels = [question.choice(key).label.partition(" (")[0] for key in line]
    if len(set(labels)) == len(labels):
        assert KIND.mark(question, " ".join(line[::-1])).credit == 0.0
        line[:2] = line[1::-1]
        assert 0 < KIND.mark(question, " ".join(line)).credit < 1


@example("theka:order:dhamar", 1)  # said in other words than its strokes
@given(of("order"), seeds)
def test_vibhags_in_another_order_sound_just_as_they_were_struck(skill, seed):
    question = ask(skill, seed)
    offered = [choice.id for choice in question.choices]
    told = KIND.explain(question, " ".join(offered))
    lasts_s = (
        60 * sum(map(len, parted(question.detail["theka"]))) / Fraction(question.detail["tempo"])
    )
    right, given = (
        Counter(stroke.bol for stroke in cue.tabla if stroke.onset_s < lasts_s - 1e-6)
        for cue in (told.right_cue, told.given_cue)
    )
    assert given == right


@given(of("write"), seeds)
def test_what_is_struck_is_what_is_right_to_write(skill, seed):
    question = ask(skill, seed)
    _, matras = heard(question)
    for line in question.right:
        words = line.split()
        assert all(
            matra in (sound(word), sound(word, ta="tta"))
            for word, matra in zip(words, matras, strict=False)
        )
        assert KIND.mark(question, line).credit == 1.0
    assert [sound(word) for word in question.right[0].split()] == matras[: question.places]
    assert len({choice.id for choice in question.choices}) == len(question.choices)
    # One bol for every matra shows no ear, whichever it is.
    for choice in question.choices:
        assert KIND.mark(question, " ".join([choice.id] * question.places)).credit < 1e-9


@given(of("write"), seeds, st.data())
def test_a_line_with_slips_earns_less_and_the_first_slip_is_told(skill, seed, data):
    question = ask(skill, seed)
    line = question.right[0].split()
    at = data.draw(st.integers(0, len(line) - 1))
    others = [c.id for c in question.choices if not may_stand_for(c.id, line[at])]
    wrong = [*line]
    wrong[at] = data.draw(st.sampled_from(others))
    mark, told = KIND.mark(question, " ".join(wrong)), KIND.explain(question, " ".join(wrong))
    assert 0 < mark.credit < 1
    assert f"Matra {at + 1} was {line[at]}; you wrote {wrong[at]}." in told.why
    assert told.given_cue is not None


def may_stand_for(word, other):
    """Whether it sounds like it or, in print, is the ta that is closed (common practice)."""
    return sound(other) in (sound(word), sound(word, ta="tta"))


def test_ta_may_be_written_for_a_closed_stroke_and_not_the_other_way_round():
    # As dhamar is mostly printed: ka dhi ta dhi ta (English encyclopaedia article Dhamar (music)).
    bols = "ka dhe te dhe te | dha - | ga te te | te te ta -"
    taught = f'[tala.dhamar]\n[[tala.dhamar.theka]]\nbols = "{bols}"\n'
    question = ask("theka:write:dhamar", 1, tradition=taught)
    right = bols.replace("| ", "")
    assert right in question.right
    assert KIND.mark(question, right.replace("te", "ta")).credit == 1.0
    assert KIND.mark(question, right.replace("ta", "te")).credit < 1.0


def test_bols_that_sound_alike_may_be_written_for_one_another():
    question = ask("theka:write:ektal", 3)
    line = question.right[0].split()
    assert line[5:8] == ["na", "kat", "ta"]
    line[5], line[7] = "ta", "na"
    assert KIND.mark(question, " ".join(line)).credit == 1.0


@given(of("fill"), seeds)
def test_a_matra_is_silent_and_the_right_bol_alone_stands_there(skill, seed):
    question = ask(skill, seed)
    tala = talas()[skill.rpartition(":")[2]]
    matra = question.detail["matra"]
    words = question.detail["theka"].replace("|", " ").split()
    _, matras = heard(question)
    whole = [sound(word) for word in words]
    assert matra > 1
    for number, struck in enumerate(matras):
        at = number % tala.matras
        assert struck == (() if at == matra - 1 else whole[at])
    offered = [sound(choice.id) for choice in question.choices]
    assert len(set(offered)) == len(offered)
    named = [word for choice in question.choices for word in choice.label.split(" / ")]
    assert "ta" not in named or sound("tta") not in offered
    known = [
        sound(line.replace("|", " ").split()[matra - 1])
        for line in tala.written()
        if len(line.replace("|", " ").split()) == tala.matras
    ]
    right = [choice.id for choice in question.choices if sound(choice.id) in known]
    assert right == list(question.right)
    assert sound(right[0]) == whole[matra - 1]


def test_the_bols_offered_do_not_tell_which_is_left_out():
    skills = ["theka:fill:dadra", "theka:fill:tintal", "theka:fill:jhaptal"]
    right, chance = remembered(skills, 480)
    assert right < chance + 0.09


def remembered(skills, count, met=()):
    """How often who remembers the choices, and how often each was right, is right, and by how much
    luck; of questions without prompt and sound, the first half to learn from."""
    often, offered, hits, luck = Counter(), Counter(), 0, 0.0
    for number in range(count):
        question = ask(skills[number % len(skills)], number, met=met)
        seen = [(skills[0].split(":")[1], choice.label) for choice in question.choices]
        if question.skill.startswith("theka:fill"):  # with the others beside it
            seen = [(tuple(sorted(seen)), one) for one in seen]
        guess = max(seen, key=lambda one: (often[one] + 0.25) / (offered[one] + 1))
        right = [
            one
            for one, choice in zip(seen, question.choices, strict=True)
            if choice.id in question.right
        ]
        if number >= count // 2:
            hits += guess in right
            luck += question.chance
        often.update(right)
        offered.update(seen)
    return hits / (count - count // 2), luck / (count - count // 2)


# Common practice, as on public syllabi.
SIGNS = {
    "tintal": "X 2 0 3 over 4 4 4 4",
    "jhaptal": "X 2 0 3 over 2 3 2 3",
    "ektal": "X 0 2 0 3 4 over 2 2 2 2 2 2",
    "rupak": "0 1 2 over 3 2 2",
    "dadra": "X 0 over 3 3",
    "dhamar": "X 2 0 3 over 5 2 3 4",
    "sultal": "X 0 2 3 0 over 2 2 2 2 2",
}


@pytest.mark.parametrize("tala", SIGNS)
def test_the_signs_of_a_tala_are_those_of_syllabi(tala):
    question = ask(f"theka:clap:{tala}", 11)
    assert question.choice(question.right[0]).label == SIGNS[tala]


def hand(form):
    signs = " ".join(form.sign(start) for start in form.starts)
    return f"{signs} over {' '.join(map(str, form.vibhags))}"


HANDS = {hand(form) for tala in talas().values() for form in tala.forms}
CLAPPED = [skill for skill in SKILLS if ":clap:" in skill]


@given(of("clap"), seeds, st.sets(st.sampled_from(CLAPPED)).map(sorted))
def test_three_hands_of_talas_and_one_made_up_of_which_the_tala_asked_has_one(skill, seed, met):
    question = ask(skill, seed, met=tuple(met))
    tala = talas()[skill.rpartition(":")[2]]
    labels = {choice.id: choice.label for choice in question.choices}
    known = {hand(form) for form in tala.forms}
    assert [key for key, label in labels.items() if label in known] == list(question.right)
    real = [key for key, label in labels.items() if label in HANDS]
    assert (len(labels), len(real)) == (4, 3)
    assert set(question.possible) == set(real)
    # Made up from any of the others, so that its length tells nothing.
    (made_up,) = set(labels) - set(real)
    assert length_of(labels[made_up]) in {length_of(labels[key]) for key in real}


def length_of(label):
    return sum(map(int, label.partition(" over ")[2].split()))


@pytest.mark.parametrize(("begun", "most"), [(4, 0.51), (8, 0.36), (len(CLAPPED), 0.36)])
def test_who_remembers_which_hands_were_right_is_left_with_a_guess(begun, most):
    # The surest and shortest talas come first; among four are two that cannot stand together.
    right, chance = remembered(CLAPPED[:begun], 360, met=tuple(CLAPPED[:begun]))
    assert 1 / 3 <= chance < most
    assert right < chance + 0.09


def test_sets_hold_each_answer_as_often_as_it_is_right():
    known, shares = tuple("abcdef"), (3.0, 1.0, 2.0, 1.0, 1.0, 2.0)
    near, never = (frozenset("ab"), frozenset("cd")), (frozenset("ef"),)
    sets = fair_sets(known, 3, near, never, shares)
    assert all(not {"e", "f"} <= set(some) for some in sets)
    for one, share in zip(known, shares, strict=True):
        assert sum(sets[some] for some in sets if one in some) == pytest.approx(share, rel=0.01)


@given(of("clap"), seeds, st.data())
def test_strings_sound_on_the_claps_of_a_hand_in_a_theka_of_as_many_matras(skill, seed, data):
    question = ask(skill, seed)
    choice = data.draw(st.sampled_from(question.choices))
    told = KIND.explain(question, choice.id)
    signs, _, lengths = choice.label.partition(" over ")
    starts = [sum(map(int, lengths.split()[:n])) for n in range(len(lengths.split()))]
    claps = [at for at, sign in zip(starts, signs.split(), strict=True) if sign != "0"]
    cue = told.given_cue or told.right_cue
    # The last stroke of the drums is that of the sam on which it lands.
    matra_s = cue.tabla[-1].onset_s / length_of(choice.label)
    assert [s.onset_s for s in cue.strokes] == pytest.approx([at * matra_s for at in claps])
    # Whose hand was given is said, and theirs is the theka that is played.
    owners = [tala for tala in talas().values() if hand(tala.form) == choice.label]
    if choice.id in question.right:
        assert told.given_plays == ""
    elif owners:
        said = told.why.splitlines()[-1]
        asked = [tala for tala in owners if f"theka:clap:{tala.id}" in CLAPPED]
        assert all(tala.name in said for tala in asked)
        assert any(f"of {tala.name} " in told.given_plays for tala in asked)
    else:
        assert "made up" in told.why


@given(st.sampled_from(SKILLS), seeds)
def test_every_answer_is_explained_with_the_cycle_turning_with_the_sound(skill, seed):
    question = ask(skill, seed)
    told = KIND.explain(question, question.right[0])
    tala = talas()[skill.rpartition(":")[2]]
    assert told.given_cue is None
    assert told.wheel.form == tala.form
    turning = told.wheel.turning
    assert turning.matras == tala.matras + 1  # sam, on which it lands, is alight, too
    assert turning.begins_s == told.right_cue.lead_s
    struck = {round(stroke.onset_s, 9) for stroke in told.right_cue.tabla}
    assert 0.0 in struck
    assert round(float(tala.matras * 60 / turning.matras_per_min), 9) in struck
    assert KIND.introduce(question).endswith(".")


def test_a_teachers_theka_and_claps_are_what_is_asked():
    order = ask("theka:order:jhaptal", 1, tradition=TEACHER)
    labels = {choice.label for choice in order.choices}
    assert labels == {"dhi na (1)", "dhi na (2)", "dhi dhi na", "tin tin na"}
    clap = ask("theka:clap:jhaptal", 1, tradition=TEACHER)
    assert clap.choice(clap.right[0]).label == "X 2 0 3 over 2 3 3 2"
    write = ask("theka:write:jhaptal", 1, tradition=TEACHER)
    assert write.right[0] == "dhi na dhi dhi na tin tin na dhi na"


def test_what_cannot_be_asked_is_refused():
    # Of two vibhags there is one other order.
    for skill in ("theka:order:dadra", "theka:hum:tintal", "theka:write", "theka:clap:rudra"):
        with pytest.raises(UnknownSkill):
            ask(skill, 1)


def test_a_theka_of_two_sounds_is_not_asked_in_writing():
    bols = "dha dha | na dha | na na | dha na"
    text = "[tala.sultal]\nmatras = 8\nvibhags = [2, 2, 2, 2]\ntali = [1, 3, 7]\nkhali = [5]\n"
    text += f'[[tala.sultal.theka]]\nbols = "{bols}"\n'
    asked = {skill.id for skill in KIND.skills_taught(text)}
    assert "theka:write:sultal" not in asked
    assert "theka:order:sultal" in asked
