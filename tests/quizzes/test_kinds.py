"""What holds for every kind: fresh, fair, the same again from its log row."""

import json
import math
from collections import Counter
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import chisquare

from audio.line import Beat
from audio.sargam import parse
from audio.tuning import SA_HZ_HIGHEST, SA_HZ_LOWEST, SWARAS
from quizzes import KINDS, Setting, UnknownSkill, kind_of, make_question, skill_of
from quizzes.catalogue import also_met, is_of_stages, is_of_talas
from quizzes.kept import skills_of
from quizzes.kinds import OWN_KINDS, raga_make
from quizzes.question import SIGNS
from quizzes.ragas import ragas
from quizzes.talas import talas

LONGEST_S = 18.0
"""What a student can keep in mind, with the whole of a slow gat's cycle."""
LONGEST_PASSAGE_S = 21.0
"""A passage of a stage, in a raga that moves slowly."""
LONGEST_OF_STAGES_S = 32.0
"""Explanations of stages play several of them in turn."""
LONGEST_OF_TALAS_S = 32.0
"""A slow cycle of sixteen matras, and enough of the next one to know it by."""
LOUDEST_DB, SOFTEST_DB = 14.0, -18.0
"""Each of the many strokes of a fast jhala is soft, so that the whole is as loud as an alap."""
REACH_CENTS = -800, 2000
"""The playing string, from its open Ma to where a hand still pulls."""
HIGH_STRINGS_CENTS = 0, 3600

SOME, MANY, VERY_MANY = 30, 80, 600
"""Questions on ragas, stages and talas take some milliseconds; those by hand make very many, and
judge where right answers stand among thousands. Of MANY questions, one of four places that is right
every other time would be noticed seven times in eight; of VERY_MANY, one that is so 35 times in a
hundred, nine times in ten."""

WITHOUT_PLACES = {"string", "written", "order", "shares", "wheel", "taps", "sargam"}
"""Answers that are no choice that stands somewhere on the screen."""
NEVER_CHOSEN = {
    "swara", "raga-turns", "raga-hours", "order", "layout", "sam", "khali", "matra", "tap",
    "gat-start", "write", "make", "raga-make",
}  # fmt: skip
"""Kinds whose questions are all answered so."""

OF_KIND = {name: tuple(skill.id for skill in skills_of(name)) for name in OWN_KINDS}
ALL = tuple(skill for skills in OF_KIND.values() for skill in skills)


def takes_long(name):
    """Whether a question is played in a raga, or over a theka."""
    kind = name.partition(":")[0]
    return kind.startswith("raga-") or is_of_stages(kind) or is_of_talas(kind)


@cache
def skills_met_with(kind):
    return [skill for skill in ALL if skill.partition(":")[0] in (kind, *also_met(kind))]


def some_setting(draw, skill):
    same = skills_met_with(skill.partition(":")[0])
    few = st.lists(st.sampled_from(same), unique=True, max_size=len(same))
    return Setting(
        sa_hz=draw(st.floats(SA_HZ_LOWEST, SA_HZ_HIGHEST)),
        tuning=draw(st.sampled_from(["just", "equal"])),
        names=draw(st.sampled_from(["swara", "size"])),
        met=tuple(draw(few)),
        rivals=tuple(draw(few)[:3]),
        level=draw(st.one_of(st.none(), levels(skill))),
        ragas=tuple(draw(st.lists(st.sampled_from(sorted(ragas())), unique=True, max_size=3))),
        talas=tuple(draw(st.lists(st.sampled_from(sorted(talas())), unique=True, max_size=3))),
    )


def levels(skill):
    level = kind_of(skill).level(skill)
    if level is None:
        return st.none()
    return st.floats(level.finest, level.coarsest).map(level.fair)


def answers_to(question):
    """Some that can be given: each choice, or a few lines or shares of them."""
    ids = [choice.id for choice in question.choices]
    if question.answer_on in ("choices", "string", "wheel"):
        return ids
    if question.answer_on == "taps":
        return [question.right[0], "0", "-40 200 1000 1001"]
    if question.answer_on == "sargam":
        up_and_down = " ".join((ids + ids[::-1])[: question.places])
        return [*question.right, ids[0], up_and_down]
    if question.answer_on == "order":
        return [question.right[0], " ".join(ids), " ".join(ids[::-1])]
    if question.answer_on == "shares":
        few = len(ids) - 1
        return [*question.right, " ".join(map(str, [question.whole - few, *[1] * few]))]
    return [*question.right, *ids, " ".join(ids[:1] * question.places)]


def signs_in(text):
    """What a line of sargam needs beside plain swaras of one matra each."""
    line = parse(text)
    beats = [item for item in line.items if isinstance(item, Beat)]
    tones = [note.tone for note in line.notes()]
    found = {
        "saptaks": any(swara.octave for tone in tones for swara in tone.swaras),
        "lengths": any(
            beat.matras != 1 or len(beat.parts) != 1 or isinstance(beat.parts[0], str)
            for beat in beats
        ),
        "hands": any(tone.by or tone.touches or tone.sway or tone.shaken for tone in tones),
        "shades": any(tone.loud or tone.tone for tone in tones),
    }
    return {sign for sign, is_there in found.items() if is_there}


@st.composite
def questions(draw):
    skill = draw(st.sampled_from(ALL))
    seed = draw(st.integers(0, 2**63 - 1))
    return make_question(skill, seed=seed, setting=some_setting(draw, skill))


@given(questions())
def test_a_question_is_made_again_from_what_the_log_keeps(question):
    kept = json.loads(json.dumps(question.setting.as_json()))
    again = make_question(question.skill, seed=question.seed, setting=Setting.from_json(kept))
    assert again == question


def test_a_setting_is_read_from_older_and_newer_logs():
    kept = Setting(sa_hz=200.0, level=12.0, met=("tune:S",)).as_json()
    older = {name: value for name, value in kept.items() if name != "level"} | {"level_cents": 12.0}
    newer = kept | {"weather": "rain"}
    assert Setting.from_json(older) == Setting.from_json(newer) == Setting.from_json(kept)


@given(questions())
def test_choices_differ_and_exactly_one_answer_is_right(question):
    ids = [choice.id for choice in question.choices]
    labels = [choice.label for choice in question.choices]
    if question.answer_on == "taps":
        assert not ids
        assert all(len(question.tapped(each)) > 1 for each in question.right)
        # Blind taps: one in nine at most, for the sams of a short cycle, as the kind reckons it.
        assert 0.0 < question.chance == question.luck < 0.125
        return
    assert len(set(ids)) == len(ids) >= 2
    assert len(set(labels)) == len(labels)
    if question.answer_on == "sargam":
        assert set(ids) <= set(SWARAS)
        assert set(question.signs) <= set(SIGNS)
        assert 1 <= question.fewest <= question.places
        for line in (*question.right, *filter(None, [question.told])):
            notes = list(question.line_given(line).notes())
            assert signs_in(line) <= set(question.signs)
            assert line == question.told or question.fewest <= len(notes) <= question.places
        assert question.detail["tempo"] > 0
        assert 0.0 < question.chance == question.luck < 0.5
        return
    if question.answer_on == "order":  # of a partial order several may be right
        assert len(set(question.right)) == len(question.right) < math.factorial(len(ids))
        assert all(sorted(question.written(line)) == sorted(ids) for line in question.right)
        assert question.places == question.fewest == len(ids)
        assert 0 < question.chance < 1
        return
    possible = ids if question.possible is None else question.possible
    if question.answer_on == "wheel":
        assert question.wheel is not None
        assert ids == [str(matra) for matra in range(1, question.wheel.matras + 1)]
        assert set(question.right) <= set(possible) <= set(ids)
        assert 0.0 < question.chance < 1.0
        return
    assert len(question.right) == 1 or question.answer_on == "written"  # some keys sound alike
    if question.answer_on == "shares":
        assert sum(question.shared(question.right[0])) == question.whole
        assert question.chance == 1 / question.lines < 1
        return
    if question.answer_on == "written":
        assert 1 <= len(question.written(question.right[0])) <= question.places
        assert question.chance == len(question.right) / question.lines
        assert 2 <= question.lines <= len(ids) ** question.places
        return
    assert question.right[0] in ids
    assert question.right[0] in possible
    assert set(possible) <= set(ids)
    assert question.chance == max(question.luck, 1 / len(possible))


@given(questions())
def test_only_the_right_answer_is_marked_right_and_every_answer_is_explained(question):
    kind = kind_of(question.skill)
    for answer in answers_to(question):
        mark = kind.mark(question, answer)
        explanation = kind.explain(question, answer)
        if question.answer_on == "sargam":  # what sounds the same, or keeps the wish, is right too
            assert mark.right or answer not in question.right
        else:
            assert mark.right == (answer in question.right)
        assert 0.0 <= mark.credit <= 1.0
        assert mark.heard is None or skill_of(mark.heard).id != question.skill
        assert explanation.given_label
        assert explanation.why.endswith(".")
        assert (explanation.given_cue is None) == mark.right


@given(questions())
def test_an_answer_that_could_not_be_given_is_refused(question):
    known = question.choices[0].id if question.choices else "100"
    for answer in ("nonsense", "", f"{known} nonsense"):
        with pytest.raises(KeyError):
            kind_of(question.skill).mark(question, answer)


@given(questions())
def test_a_question_says_which_level_it_asked(question):
    level = kind_of(question.skill).level(question.skill)
    assert ("level" in question.detail) == (level is not None)
    if level is not None:
        assert level.finest <= question.detail["level"] <= level.coarsest
        if question.setting.level is not None:
            assert question.detail["level"] == pytest.approx(question.setting.level)


@given(questions())
def test_cues_stay_within_reach_of_string_and_ear(question):
    asked = explained = LONGEST_OF_TALAS_S if is_of_talas(question.kind) else LONGEST_S
    if is_of_stages(question.kind):
        asked, explained = LONGEST_PASSAGE_S, LONGEST_OF_STAGES_S
    for score, longest in (
        (question.cue, asked),
        (kind_of(question.skill).explain(question, question.right[0]).right_cue, explained),
    ):
        assert 60.0 < score.sa_hz < 450.0
        assert 0.5 < score.duration_s < longest
        for stroke in score.strokes:
            reach = HIGH_STRINGS_CENTS if stroke.voice == "chikari" else REACH_CENTS
            assert all(reach[0] <= cents <= reach[1] for _, cents in stroke.path)
            assert SOFTEST_DB <= stroke.level_db <= LOUDEST_DB


@pytest.mark.parametrize("skill", [skills[len(skills) // 2] for skills in OF_KIND.values()])
def test_no_two_seeds_sound_the_same(skill):
    setting, count = Setting(sa_hz=138.59), SOME if takes_long(skill) else VERY_MANY // 2
    cues = {make_question(skill, seed=seed, setting=setting).cue for seed in range(count)}
    assert len(cues) == count


@pytest.mark.parametrize("kind", [kind for kind in OF_KIND if kind not in NEVER_CHOSEN])
def test_right_answers_are_spread_evenly_over_the_places(kind):
    skills = OF_KIND[kind]
    counts = {}
    for seed in range(MANY if takes_long(kind) else VERY_MANY):
        skill = skills[seed % len(skills)]
        question = make_question(skill, seed=seed, setting=Setting(sa_hz=138.59, met=skills))
        if question.answer_on in WITHOUT_PLACES:
            continue
        places = [choice.id for choice in question.choices]
        counts.setdefault(len(places), Counter())[places.index(question.right[0])] += 1
    assert counts
    for size, counter in counts.items():
        # Chi-square against the even spread; fails once in a thousand for a fair maker, and the
        # seeds are fixed.
        assert chisquare([counter[place] for place in range(size)]).pvalue > 1e-3


@settings(max_examples=30)
@given(st.text(max_size=20))
def test_a_skill_that_is_not_asked_is_refused_with_a_hint(text):
    for prefix in (*(f"{kind}:" for kind in KINDS), ""):
        skill = prefix + text
        if skill in ALL:
            continue
        with pytest.raises(UnknownSkill):
            skill_of(skill)


@pytest.mark.parametrize("kind", OF_KIND)
def test_every_skill_can_be_asked_alone_by_a_beginner(kind, monkeypatch):
    # Trying out how lucky each of 543 wishes is takes most of the time; `test_wishes.py` judges it.
    monkeypatch.setattr(raga_make, "luck_in_raga", lambda *_: 0.5)
    for skill in OF_KIND[kind]:
        question = make_question(skill, seed=1, setting=Setting(sa_hz=138.59))
        assert kind_of(skill).introduce(question)
        assert question.skill == skill_of(skill).id == skill
        assert kind not in NEVER_CHOSEN or question.answer_on in WITHOUT_PLACES
