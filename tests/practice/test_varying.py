"""The palta of the day: never one that was given, for as long as there are others."""

import random
from datetime import UTC, date, datetime, timedelta

import pytest

from audio.sargam import parse, write
from audio.tuning import JUST, Swara
from practice import varied_sound
from practice.instrument import CLEAN, GIVEN, SAID, PaltaNoted
from practice.palta_written import begin_words, groups_of
from practice.varied import TAR_SA, key_of
from practice.varying import clean_to_grow, of_day, vary
from quizzes.paltas.prastara import count, order_at
from quizzes.talas import talas
from tests.quizzes import raga_oracle

FIRST = date(2026, 3, 2)
BEGUN = {
    "raga-rest:own:yaman", "raga-that:kedar", "raga-that:desh", "sam:jhaptal", "sam:rupak",
    "swara:S",
}  # fmt: skip


class Log:
    """What a student's log notes of paltas, day by day."""

    def __init__(self, begun=(), saying=lambda varied: ""):
        self.noted, self.begun, self.saying = [], begun, saying

    def live(self, days):
        """So many days, each with its palta."""
        return [self.day() for _ in range(days)]

    def day(self):
        day = FIRST + timedelta(sum(each.said == GIVEN for each in self.noted))
        varied = vary(self.noted, begun=self.begun, day=day, student="m")
        at = datetime(day.year, day.month, day.day, 18, tzinfo=UTC)
        self.note(varied, GIVEN, at)
        if said := self.saying(varied):
            self.note(varied, said, at)
        return varied

    def note(self, varied, said, at):
        self.noted.append(PaltaNoted(varied.key, said, varied.tempo, at, varied.detail))


def moody():
    drawn = random.Random(1)
    return lambda varied: drawn.choice([*SAID[1:], ""])


@pytest.mark.parametrize(
    ("begun", "saying"),
    [((), lambda varied: ""), (BEGUN, moody())],
    ids=["silent", "moody"],
)
def test_a_year_repeats_no_palta(begun, saying):
    year = Log(begun, saying).live(365)
    assert len({varied.key for varied in year}) == 365
    sizes = [varied.n for varied in year]
    assert sizes == sorted(sizes)


def test_thirty_days_in_a_real_log_repeat_no_palta_and_a_day_keeps_its_own(open_practice, clock):
    given = []
    for day in range(30):
        if day % 10 == 0:
            practice = open_practice()
        noted, today = practice.paltas_noted(), practice.today()
        assert of_day(noted, today) is None
        varied = vary(noted, begun=(), day=today, student=practice.settings.student_id)
        assert varied.key not in {each.key for each in practice.paltas_noted()}
        practice.note_palta(varied.key, tempo=varied.tempo, detail=varied.detail)
        practice.note_palta(varied.key, CLEAN, tempo=varied.tempo, detail=varied.detail)
        again = of_day(practice.paltas_noted(), today)
        assert (again.key, again.line, again.tempo) == (varied.key, varied.line, varied.tempo)
        given.append(varied.key)
        clock.forward(days=1)
    assert len(set(given)) == 30


def test_it_is_said_plainly_when_a_size_is_exhausted_and_the_next_is_gone_on_with():
    days = Log().live(1 + 6 + 24)
    told = {at: varied.told for at, varied in enumerate(days) if varied.told}
    assert told == {
        6: "You have been given all 6 orders of three swaras: from now on groups have four.",
        30: "You have been given all 24 orders of four swaras: from now on groups have five.",
    }
    assert [varied.n for varied in days] == [3] * 6 + [4] * 24 + [5]


def test_groups_grow_when_enough_orders_were_clean():
    days = Log(saying=lambda varied: CLEAN).live(13)
    first, second = clean_to_grow(3), clean_to_grow(4)
    assert (first, second) == (3, 8)
    assert [varied.n for varied in days] == [3] * first + [4] * second + [5] * 2
    assert not any(varied.told for varied in days)


def test_when_all_orders_were_given_the_one_of_longest_ago_comes_again():
    log, at = Log(), datetime(2026, 3, 2, tzinfo=UTC)
    keys = [key_of(n, index) for n in range(3, 8) for index in reversed(range(count(n)))]
    log.noted = [PaltaNoted(key, GIVEN, 60.0, at, {}) for key in keys]
    varied = log.day()
    assert varied.key == key_of(7, count(7) - 1)
    assert varied.told == (
        "You have been given all 5040 orders of seven swaras: the one that was given longest ago "
        "comes again."
    )
    assert log.day().key == key_of(7, count(7) - 2)


def test_it_runs_in_what_is_begun_and_stays_there():
    """By the oracle, which reads the ragas' files alone."""
    oracle = raga_oracle.all_ragas()
    days = Log(BEGUN).live(40)
    in_ragas = {varied.raga for varied in days}
    assert in_ragas >= {"yaman", "desh"}
    assert "kedar" not in in_ragas  # it goes by its phrases: no order of swaras runs there
    assert {varied.tala.id for varied in days} == {"jhaptal", "rupak"}
    assert len({varied.layout.id for varied in days}) >= 4
    for varied in days:
        if varied.raga:
            for group in varied.run.groups:
                steps = tuple(swara.steps for swara in group)
                assert oracle[varied.raga].slips(steps, goes_on=True) == []


def test_who_has_begun_nothing_plays_in_bilawal_and_tintal():
    for varied in Log().live(5):
        assert (varied.raga, varied.scale, varied.tala.id) == ("", "Bilawal", "tintal")
        assert varied.where == "the scale of Bilawal"


def test_scales_whose_swaras_were_asked_are_played_too():
    begun = {f"swara:{letter}" for letter in "SRGmMPDNn"}
    scales = {varied.scale for varied in Log(begun).live(12)}
    assert scales == {"Bilawal", "Kalyan", "Khamaj"}


def test_a_palta_is_told_in_words_and_sargam_and_comes_round_on_sam():
    for varied in Log(BEGUN).live(30):
        assert f"order {varied.index + 1} of {count(varied.n)}, in {varied.where}" in varied.name
        line = varied.line
        swaras = tuple(note.swara for note in line.notes())
        # It turns at tar Sa and comes home to Sa on sam, common practice.
        assert TAR_SA in swaras
        assert swaras == (
            *(swara for group in varied.run.up for swara in group),
            *varied.turn,
            *(swara for group in varied.run.down for swara in group),
            Swara(0),
        )
        *_, last = line.notes()
        assert last.onset % varied.tala.matras == 0
        first = next(iter(line.notes()))
        assert (first.onset, first.onset < varied.tala.matras) == (varied.begins, True)
        assert parse(write(line)) == line
        assert varied.tala == talas()[varied.tala.id]


@pytest.mark.parametrize("rate", [90, 120, 300, 600, 750])
def test_the_theka_is_neither_too_slow_nor_too_fast_to_play_to(rate):
    # From vilambit to drut, as assets/laya.toml has them heard: 40 to 260 matras a minute.
    at = datetime(2026, 3, 2, 18, tzinfo=UTC)
    noted = [PaltaNoted("some", CLEAN, rate / 2, at, {"n": 3, "layout": "two"})]
    for day in range(12):
        varied = vary(noted, begun=(), day=FIRST + timedelta(day), student="m")
        swaras = varied.layout.swaras_to_matra
        assert varied.tempo * swaras == pytest.approx(rate, abs=swaras)
        assert 40 <= varied.tempo <= 260


def test_what_was_only_looked_at_is_not_spent():
    log, passed = Log(BEGUN), []
    first = vary((), begun=BEGUN, day=FIRST, student="m")
    assert vary((), begun=BEGUN, day=FIRST, student="m") == first
    for _ in range(count(3)):
        passed.append(vary(log.noted, begun=BEGUN, day=FIRST, student="m", passed=passed).key)
    assert sorted(passed) == sorted(key_of(3, index) for index in range(count(3)))
    more = vary(log.noted, begun=BEGUN, day=FIRST, student="m", passed=passed)
    assert (more.n, more.told, more.key == passed[-1]) == (3, "", False)
    assert {varied.n for varied in log.live(6)} == {3}


def test_groups_begin_with_a_matra_and_what_begins_one_is_marked():
    log = Log(BEGUN)
    for varied in log.live(12):
        up, down = groups_of(varied)
        notes = [note for group in (*up, *down) for note in group]
        assert [note[0].text for note in notes] == [str(n.swara) for n in varied.played.notes()]
        begins = [any(cell.on_matra for cell in note[:1]) for note in notes]
        assert begins == [note.onset.denominator == 1 for note in varied.played.notes()]
        assert all(group[0][0].on_matra for group in (*up, *down))


def test_where_a_palta_begins_in_its_tala_is_told():
    # Reckoned by hand: 36 swaras, three to a matra, are 12 matras, and Sa is the 13th; to fall on
    # the first matra of Tintal it is to follow matra 16, so that the first swara falls on the 5th.
    at = datetime(2026, 3, 2, 18, tzinfo=UTC)
    detail = {"n": 3, "index": 2, "raga": "", "scale": "Bilawal", "layout": "three"}
    detail |= {"tala": "tintal"}
    varied = of_day([PaltaNoted("some", GIVEN, 60.0, at, detail)], FIRST)
    assert (len(varied.run.swaras), varied.turn) == (36, ())
    assert begin_words(varied) == "Begin on matra 5; then the last Sa falls on sam."


@pytest.mark.parametrize("raga", ["desh", "bageshri", "yaman", "hamir", "bihag"])
def test_each_group_is_a_permutation_as_its_number_says(raga):
    # Prastara: all orders of n different swaras (Sangitaratnakara 1.4), here by their ranks.
    for varied in Log({f"raga-rest:own:{raga}"}).live(30):
        order = order_at(range(varied.n), varied.index)
        for group in varied.run.up:
            steps = [swara.steps for swara in group]
            assert [sorted(steps).index(step) for step in steps] == list(order)
        for group in varied.run.down:
            steps = [-swara.steps for swara in group]
            assert [sorted(steps).index(step) for step in steps] == list(order)
            assert len(set(group)) == varied.n


def test_who_has_begun_a_raga_in_which_none_runs_is_told_so_and_plays_in_its_that():
    varied = Log({"raga-rest:own:darbari"}).day()
    assert (varied.raga, varied.scale) == ("", "Asavari")
    assert varied.told.startswith("Darbari goes by its phrases")


def test_one_log_gives_one_palta_on_every_device():
    one, other = Log(BEGUN), Log(BEGUN)
    assert [varied.line for varied in one.live(9)] == [varied.line for varied in other.live(9)]


@pytest.mark.parametrize(
    "detail",
    [
        {},
        {"n": 3, "index": 6, "raga": "", "scale": "Bilawal", "layout": "two", "tala": "tintal"},
        {"n": 9, "index": 0, "raga": "", "scale": "Bilawal", "layout": "two", "tala": "tintal"},
        {"n": 3, "index": 0, "raga": "none", "scale": "", "layout": "two", "tala": "tintal"},
        {"n": 3, "index": 0, "raga": "", "scale": [], "layout": "two", "tala": "tintal"},
        {"n": 3, "index": 0, "raga": "", "scale": "Bilawal", "layout": "six", "tala": "tintal"},
        {"n": 3, "index": 0, "raga": "", "scale": "Bilawal", "layout": "two", "tala": ["x"]},
        {"n": True, "index": 0, "raga": "", "scale": "Bilawal", "layout": "two", "tala": "tintal"},
        {"n": 3, "index": True, "raga": "", "scale": "Bilawal", "layout": "two", "tala": "tintal"},
    ],
)
def test_a_note_that_tells_too_little_makes_none_again(detail):
    at = datetime(2026, 3, 2, 18, tzinfo=UTC)
    assert of_day([PaltaNoted("some", GIVEN, 60.0, at, detail)], FIRST) is None


def test_it_sounds_once_over_its_theka_and_the_theka_alone_for_as_long():
    varied = Log(BEGUN).day()
    score = varied_sound.heard(varied, tempo=80.0, sa_hz=140.0, tuning=JUST)
    assert [stroke.path[0][1] for stroke in score.strokes] == [
        JUST.cents_of(note.swara) for note in varied.line.notes()
    ]
    matra_s = 60.0 / 80.0
    onsets = [float(note.onset) * matra_s for note in varied.line.notes()]
    assert [stroke.onset_s for stroke in score.strokes] == pytest.approx(onsets)
    alone = varied_sound.to_play_over(varied, tempo=80.0, sa_hz=140.0, rounds=2)
    assert alone.at(0.0).ends_s == pytest.approx(varied.tala.matras * matra_s)
    assert score.tabla
    assert score.drone is not None
