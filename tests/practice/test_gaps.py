"""The gaps so far: one for each pair of swaras, the shakiest first, and what is said of each."""

from dataclasses import replace
from datetime import timedelta

import pytest
from scipy.stats import binomtest

from practice.gaps import ALL_WAYS, MOST, STATES, WAYS, counts_of, gaps_of, seen, shakiest
from practice.meanings import meaning_of
from practice.pairs import matrix
from practice.so_far import NONE_COUNTED, counts_words, gap_told, pair_told, row_words
from quizzes.names import number_word
from scheduler import Proportion
from scheduler.history import day_of, lately, week_of
from tests.gaps_heard import TAKEN_FOR, hear_gaps


@pytest.fixture
def heard(open_practice):
    """The standing of a student who takes some gaps for others, after so many answers."""

    def after(count):
        practice = open_practice()
        if count:
            hear_gaps(practice, count)
        return practice.standing()

    return after


def test_there_are_78_gaps_in_three_ways_and_none_is_heard_at_first(heard):
    gaps = gaps_of(heard(0))
    assert len(gaps) == 3 * 78
    assert {gap.state for gap in gaps} == {"unheard"}
    for way in WAYS:
        assert len(seen(gaps, way)) == 78
        assert shakiest(gaps, way) == ()


def test_a_pair_stands_for_the_shakiest_of_its_ways(heard):
    gaps = gaps_of(heard(200))
    for gap in seen(gaps, ALL_WAYS):
        states = [STATES.index(other.drawn_as) for other in gaps if other.id == gap.id]
        assert STATES.index(gap.drawn_as) == min(states)
    assert {gap.way for gap in seen(gaps, "down")} == {"down"}


def test_what_is_taken_for_another_gap_stands_first(heard):
    standing = heard(400)
    gaps = gaps_of(standing)
    asked = {item.skill for item in standing.items}
    taken = {skill for skill in TAKEN_FOR if skill in asked}
    assert len(taken) >= 3
    assert {gap.skill for gap in gaps[: len(taken)]} == taken
    listed = shakiest(gaps, ALL_WAYS)
    assert [gap.skill for gap in listed[: len(taken)]] == [g.skill for g in gaps[: len(taken)]]
    assert len(listed) <= MOST
    assert {gap.drawn_as for gap in gaps[: len(taken)]} == {"shaky"}


def test_the_counts_are_those_of_the_memory(heard):
    standing = heard(200)
    counts = counts_of(seen(gaps_of(standing), "up"))
    asked = {i.skill for i in standing.items if i.kind == "gap"} | set(standing.memory.beliefs)
    ups = [skill for skill in asked if skill.startswith("gap:") and skill.endswith(":up")]
    mistaken = {skill for skill in ups if is_mistaken(standing, skill)}
    assert counts["shaky"] == len(mistaken | {s for s in ups if standing.state(s) == "shaky"})
    for state in ("coming", "firm", "unheard"):
        assert counts[state] == sum(standing.state(s) == state for s in set(ups) - mistaken)


def is_mistaken(standing, skill):
    """Twice or more within two weeks, and known less than seven times of ten."""
    lately = standing.history.tally(skill, range(week_of(day_of(standing.now)) - 3, 10**6))
    often = sum(count for _, count in standing.memory.confusions(skill, standing.now))
    return often >= 1.0 and (lately.right - lately.luck) / (lately.asked - lately.luck) < 0.7


@pytest.mark.parametrize(("right", "asked", "luck"), [(7, 20, 5.0), (30, 60, 15.0), (3, 5, 1.0)])
def test_a_count_is_told_with_its_interval_and_luck_taken_out(right, asked, luck):
    # Wilson's interval by scipy; luck out of it by Guilford's (p - g) / (1 - g).
    wilson = binomtest(right, asked).proportion_ci(0.95, method="wilson")
    chance = luck / asked
    low, high = (max(0.0, (p - chance) / (1 - chance)) for p in (wilson.low, wilson.high))
    few = ", which is few" if asked < 20 else ""
    told = f"{right} of {asked} right{few}, luck taken out {100 * low:.0f} to {100 * high:.0f} %"
    assert counts_words(Proportion(right, asked, luck)).replace("\N{NO-BREAK SPACE}", " ") == told


def test_no_more_right_than_by_guessing_is_called_so():
    assert counts_words(Proportion(10, 60, 30.0)) == "10 of 60 right, no more than by guessing"


def test_a_slip_or_two_among_many_right_answers_make_nothing_shaky(heard):
    gaps = {gap.skill: gap for gap in gaps_of(heard(400))}
    sure = next(g for g in gaps.values() if g.state == "firm" and g.skill not in TAKEN_FOR)
    slipped = replace(sure, mistaken=2.5, lately=Proportion(37, 40, 10.0))
    assert slipped.drawn_as == "firm"
    assert replace(slipped, lately=Proportion(12, 40, 10.0)).drawn_as == "shaky"


def test_two_mistakes_within_two_weeks_make_a_gap_mistaken_and_one_does_not(heard):
    gap = next(gap for gap in gaps_of(heard(60)) if gap.state != "shaky")
    weak = replace(gap, lately=Proportion(5, 20, 4.0))
    assert replace(weak, mistaken=1.0).drawn_as == "shaky"
    assert replace(weak, mistaken=0.99).drawn_as == gap.state


def test_the_worst_is_what_is_known_least_and_surely_missed_most(heard):
    standing = heard(400)
    now = week_of(day_of(standing.now))
    gaps = gaps_of(standing)
    for gap in gaps:
        wrong, asked = gap.lately.asked - gap.lately.right, max(20, gap.lately.asked)
        low = binomtest(wrong, asked).proportion_ci(0.95, method="wilson").low
        assert gap.badness == pytest.approx(1.0 - gap.known + low)
        earlier = standing.history.tally(gap.skill, range(now - 7, now - 3))
        assert gap.before == earlier.proportion
    for state in STATES:
        bad = [gap.badness for gap in gaps if gap.drawn_as == state]
        assert bad == sorted(bad, reverse=True)


def test_a_gap_is_told_of_lately_of_before_and_of_long_ago(heard):
    standing = heard(400)
    shown, gap = matrix(standing, "gaps"), gaps_of(standing)[0]
    heard_as = [line for line in gap_told(standing, gap, shown).lines if "you heard it" in line]
    counts = standing.history.answers(gap.skill, lately(standing.now))
    wrong = {given: n for (right, given), n in counts.items() if given != right}
    times = {1: "once", 2: "twice"}.get(max(wrong.values()), number_word(max(wrong.values())))
    assert heard_as[0].startswith("In the last four weeks you heard it as ")
    assert f" {times}" in heard_as[0]
    later = replace(standing, now=standing.now + timedelta(days=100))
    old = gap_told(later, replace(gap, days=100.0), shown)
    assert any(line.startswith("In all you heard it as") for line in old.lines)
    assert "Last met 100 days ago." in old.lines
    assert not any(
        "Last met" in line for line in gap_told(standing, replace(gap, days=6.0), shown).lines
    )


def test_a_pair_is_told_of_before_and_of_lately(heard):
    standing = heard(60)
    pair = replace(matrix(standing, "gaps").worst(1)[0], before=(3, 30), count=9, asked=40)
    spans = pair_told(standing, pair).spans
    assert [(span.label, span.words) for span in spans] == [
        ("Four weeks before", "3 of 30"),
        ("Last four weeks", "9 of 40"),
    ]
    for span, (count, asked) in zip(spans, ((3, 30), (9, 40)), strict=True):
        found = binomtest(count, asked).proportion_ci(0.95, method="wilson")
        assert (span.low, span.share, span.high) == pytest.approx(
            (found.low, count / asked, found.high)
        )


def test_a_gap_is_told_with_what_it_is_taken_for_and_how_it_moved(heard):
    standing = heard(400)
    gap = gaps_of(standing)[0]
    told = gap_told(standing, gap, matrix(standing, "gaps"))
    assert told.title == gap.name
    assert told.pair.right == f"{gap.id}:{gap.way}"
    assert told.pair.given == f"{TAKEN_FOR[gap.skill]}:{gap.way}"
    assert any(told.pair.given_label in line for line in told.lines)
    assert [span.label for span in told.spans] == ["Four weeks before", "Last four weeks"]
    for span, part in zip(told.spans, (gap.before, gap.lately), strict=True):
        assert span.words == f"{part.right} of {part.asked}"
        assert span.low <= span.share <= span.high
    assert row_words(gap).startswith(f"{gap.state}")


def test_the_other_ways_of_a_gap_that_are_begun_are_told_too(heard):
    standing = heard(400)
    begun = {gap.skill: gap for gap in gaps_of(standing) if gap.state != "unheard"}
    gap = next(g for g in begun.values() if g.way == "up" and f"gap:{g.id}:down" in begun)
    other = begun[f"gap:{gap.id}:down"]
    told = gap_told(standing, gap, matrix(standing, "gaps"))
    assert f"{other.name}: {other.state}." in told.lines[-1]


def test_a_gap_that_was_never_mistaken_is_told_alone(heard):
    standing = heard(0)
    gap = next(gap for gap in gaps_of(standing) if gap.is_asked)
    told = gap_told(standing, gap, matrix(standing, "gaps"))
    assert told.pair.is_right
    assert told.pair.skills == (gap.skill,)
    assert told.spans == ()
    assert told.lines == (meaning_of("unheard"),)


def test_a_pair_is_told_in_words_and_few_are_called_few(heard):
    standing = heard(60)
    pair = matrix(standing, "gaps").worst(1)[0]
    told = pair_told(standing, pair)
    assert told.title == f"{pair.right_label}, heard as {pair.given_label}"
    assert "which is few" in told.lines[0]


def test_a_gap_moves_as_its_spans_do_with_luck_taken_out(heard):
    """What is compared is what is drawn: whoever meets more choices has less luck."""
    standing = heard(60)
    gap, shown = gaps_of(standing)[0], matrix(standing, "gaps")

    def moved(before, lately):
        told = gap_told(standing, replace(gap, before=before, lately=lately), shown)
        (first, last), meet = told.spans, "No sure change."
        apart = "Better" if first.high < last.low else "Worse" if last.high < first.low else ""
        assert told.moved == (f"{apart} than before." if apart else meet)
        return apart

    assert moved(Proportion(20, 60, 12.0), Proportion(40, 60, 33.0)) == ""
    assert moved(Proportion(60, 100, 50.0), Proportion(60, 100, 10.0)) == "Better"
    assert moved(Proportion(60, 100, 10.0), Proportion(60, 100, 50.0)) == "Worse"


def test_of_a_confusion_less_is_better(heard):
    standing = heard(60)
    wrong = matrix(standing, "gaps").worst(1)[0]
    for is_right, before, (count, asked), moved in (
        (False, (50, 100), (10, 100), "Better than before."),
        (False, (10, 100), (50, 100), "Worse than before."),
        (True, (10, 100), (50, 100), "Better than before."),
        (False, (30, 100), (33, 100), "No sure change."),
        (False, (10, 19), (0, 100), "Too few to say whether it moved."),
        (False, (0, 0), (5, 40), ""),
    ):
        given = wrong.right if is_right else wrong.given
        pair = replace(wrong, given=given, before=before, count=count, asked=asked)
        assert pair_told(standing, pair).moved == moved


def test_how_often_guessing_gives_it_is_told_as_it_was_offered(heard):
    standing = heard(400)
    shown, weeks, seldom = matrix(standing, "gaps"), lately(standing.now), 0
    worst = shown.worst(1)[0]
    for pair in (worst, *(shown.pair(worst.right, thing.id) for thing in shown.things[:8])):
        right, answer = (thing.partition(":")[0] for thing in (pair.right, pair.given))
        rows = standing.latest(f"gap:{pair.right}", 400, right=right)
        rows = [row for row in rows if row.chance < 1 and week_of(day_of(row.utc)) in weeks]
        offered = [row.chance for row in rows if answer in row.choices]
        line, share = pair_told(standing, pair).lines[-1], sum(offered) / len(rows)
        assert line.lower().endswith(f"guessing alone gives it in {100 * share:.0f} %.")
        if len(offered) < len(rows):
            seldom += 1
            assert line.startswith(f"Offered in {len(offered)} of {len(rows)} such questions; ")
    assert seldom


def test_what_could_only_be_answered_so_makes_no_gap_mistaken(heard):
    standing, none = heard(60), Proportion(0, 0)
    gap = next(gap for gap in gaps_of(standing) if gap.state == "coming")
    told = replace(gap, mistaken=3.0, lately=none, before=none, answered=none)
    assert row_words(told) == "coming: nothing counted yet"
    assert NONE_COUNTED in gap_told(standing, told, matrix(standing, "gaps")).lines


def test_a_row_says_of_when_its_counts_are(heard):
    gap = gaps_of(heard(400))[0]
    old = replace(gap, lately=Proportion(0, 0), answered=Proportion(7, 52, 13.0))
    assert ": 3 of 20 right" in row_words(replace(old, lately=Proportion(3, 20, 5.0)))
    assert "not asked lately, in all 7 of 52 right" in row_words(old)
