"""What the raga files say, against sources outside them and against one another."""

import re
import tomllib
from functools import cache
from pathlib import Path

import pytest
from music21 import scale

from audio.tuning import SWARAS
from quizzes.fresh import Fresh
from quizzes.ragas import break_of, grow, ragas
from quizzes.ragas.reading import RAGAS, SOURCES
from quizzes.shades import shades

RAGA_IDS = sorted(ragas())
FACTS = Path(__file__).with_name("raga_facts.txt")
FACT_TABLES = (
    "that", "notes", "occasional", "scale", "vadi", "nyas", "andolan", "glide", "register", "gait",
    "mood", "hours",
)  # fmt: skip
SOURCED_LISTS = ("phrase", "forbidden", "required")


@cache
def file_of(raga):
    return tomllib.loads((RAGAS / f"{raga}.toml").read_text("utf-8"))


@cache
def sources():
    return tomllib.loads((RAGAS / f"{SOURCES}.toml").read_text("utf-8"))


def sourced_of(raga):
    """Every table of a file that says how sure it is, with its place for a message."""
    values = file_of(raga)
    found = [(f"{raga} [{name}]", values[name]) for name in FACT_TABLES if name in values]
    for name in SOURCED_LISTS:
        found += [(f"{raga} [[{name}]] {each}", each) for each in values.get(name, ())]
    return found


def keys_of(source):
    """The keys of sources.toml that a `source` names, longest first where one begins another."""
    known = sorted(sources(), key=len, reverse=True)
    parts = re.split(r"; |, ", source)
    return [next((key for key in known if part.startswith(key)), part) for part in parts]


def families_of(source):
    """Its independent sources: what shares its text with another counts once, memory not."""
    return {
        sources()[key].get("family", key)
        for key in keys_of(source)
        if sources()[key]["where"] != "no source consulted"
    }


# Facts against the sources


def facts_of_sources():
    """What the sources say, by raga and field."""
    found, raga = {}, ""
    for line in FACTS.read_text("utf-8").splitlines():
        if line.startswith("  "):
            field, _, value = line.strip().partition(" ")
            found[raga].setdefault(field, []).append(value)
        elif line and not line.startswith("#"):
            raga = line
            found[raga] = {}
    return found


def sure_facts_of(raga):
    """What its file holds with confidence A or B, in the same words."""
    known, found = ragas()[raga], {}

    def put(field, fact, text):
        if fact.confidence in ("A", "B"):
            found.setdefault(field, []).append(text)

    put("that", known.that, known.that.value)
    for field in ("notes", "vadi", "nyas", "andolan", "register", "gait"):
        fact = getattr(known, field)
        put(field, fact, " ".join(fact.value))
    put("aroha", known.scale, " ".join(map(str, known.scale.value.aroha)))
    put("avaroha", known.scale, " ".join(map(str, known.scale.value.avaroha)))
    put("hours", known.hours, "{:02}-{:02}".format(*known.hours.value))
    for phrase in known.phrases:
        put("phrase", phrase, str(phrase))
    return found


def test_every_fact_of_confidence_A_and_B_is_as_its_sources_have_it():
    # Transcribed from the tables, books and pages named in sources.toml.
    sources_say = facts_of_sources()
    for raga in RAGA_IDS:
        assert sure_facts_of(raga) == sources_say[raga], raga


def test_no_raga_of_the_sources_was_left_out():
    assert sorted(facts_of_sources()) == RAGA_IDS
    assert len(RAGA_IDS) >= 91


# The ten thats by their numbers among the 72 melas (the formula of the southern system).
MELAS = {
    "Bilawal": 29, "Kalyan": 65, "Khamaj": 28, "Bhairav": 15, "Purvi": 51, "Marwa": 53,
    "Kafi": 22, "Asavari": 20, "Bhairavi": 8, "Todi": 45,
}  # fmt: skip
LOWER = ("r R", "r g", "r G", "R g", "R G", "g G")
UPPER = ("d D", "d n", "d N", "D n", "D N", "n N")


def mela(number):
    lower, upper = LOWER[(number - 1) // 6 % 6], UPPER[(number - 1) % 6]
    return set(f"S {lower} {'M' if number > 36 else 'm'} P {upper}".split())


# Swaras that a raga has beyond its that.
BOTH_MA = "both Ma are heard; it is counted by the other one"
BOTH_NI = "shuddha Ni rises and komal Ni falls, or the other is touched"
BEYOND_ITS_THAT = {
    "ahir_bhairav": ("D n", "Bhairav below, Kafi above"),
    "alhaiya_bilawal": ("n", BOTH_NI),
    "bahar": ("N", BOTH_NI),
    "bairagi": ("n", "counted in Bhairav for its Re"),
    "bihag": ("M", BOTH_MA),
    "bihagda": ("n", BOTH_NI),
    "chandrakauns": ("N", "made from Malkauns by one swara; no that holds it"),
    "chhayanat": ("m", BOTH_MA),
    "desh": ("N", BOTH_NI),
    "desi": ("D", "the form with shuddha Dha; another has komal Dha"),
    "gara": ("N g", "both Ga and both Ni"),
    "gaud_malhar": ("N", BOTH_NI),
    "gaud_sarang": ("m", BOTH_MA),
    "hamir": ("m", BOTH_MA),
    "jaijaiwanti": ("N g", "both Ga and both Ni"),
    "kamod": ("m", BOTH_MA),
    "kedar": ("m", BOTH_MA),
    "khamaj": ("N", BOTH_NI),
    "lalit": ("m", BOTH_MA),
    "madhuvanti": ("D R", "no that holds it; counted in Todi by courtesy"),
    "malgunji": ("G N", "both Ga and both Ni"),
    "maru_bihag": ("m", BOTH_MA),
    "miyan_malhar": ("N", BOTH_NI),
    "nand": ("m", BOTH_MA),
    "nat_bhairav": ("R", "Nat below, Bhairav above"),
    "paraj": ("m", BOTH_MA),
    "patdeep": ("N", "no that holds it; counted in Kafi"),
    "pilu": ("N d", "all twelve are heard about a core of seven"),
    "purvi": ("m", BOTH_MA),
    "ramkali": ("M n", "both come in one turn only"),
    "shuddha_sarang": ("m", BOTH_MA),
    "shyam_kalyan": ("m", BOTH_MA),
    "tilak_kamod": ("N", "counted in Khamaj beside Desh"),
    "tilang": ("N", BOTH_NI),
    "vrindavani_sarang": ("N", BOTH_NI),
    "yaman_kalyan": ("m", BOTH_MA),
}


def test_the_swaras_lie_in_the_that_but_for_those_declared():
    for raga, known in ragas().items():
        if known.that.sure:
            beyond, _ = BEYOND_ITS_THAT.get(raga, ("", ""))
            assert known.own - mela(MELAS[known.that.value]) == set(beyond.split()), raga
        else:
            assert raga not in BEYOND_ITS_THAT
            assert known.that.value in {"", *MELAS}, raga


@pytest.mark.parametrize(
    ("raga", "theirs"), [("asavari", scale.RagAsawari), ("marwa", scale.RagMarwa)]
)
def test_asavari_and_marwa_move_as_in_music21(raga, theirs):
    # music21 gives Marwa's way up from Sa, where ours sets out from low Ni; the rest is compared.
    ways = ragas()[raga].scale.value
    for ours, direction in (
        (ways.aroha, scale.Direction.ASCENDING),
        (ways.avaroha, scale.Direction.DESCENDING),
    ):
        pitches = theirs("C4").getPitches("C4", "C5", direction=direction)
        steps = [round(pitch.ps) - 60 for pitch in pitches]
        at = 0 if raga == "asavari" or direction is scale.Direction.DESCENDING else 1
        assert [swara.steps for swara in ours][at:] == steps[at:]


# Class IX to XII of the central school board (syllabus of melodic instruments, code 035), and the
# first-year certificate for sitar with a university's later semester.
SCHOOL = (
    "alhaiya_bilawal yaman bhupali khamaj desh vrindavani_sarang bihag bhimpalasi bhairavi "
    "jaunpuri bhairav bageshri malkauns"
)
CERTIFICATE = "kafi madhuvanti hamir"


def test_the_ragas_that_students_are_examined_in_are_known():
    assert set(f"{SCHOOL} {CERTIFICATE}".split()) <= set(RAGA_IDS)


@pytest.mark.parametrize("raga", SCHOOL.split())
def test_what_a_student_is_examined_in_rests_on_sources(raga):
    known = ragas()[raga]
    for fact in (known.that, known.notes, known.scale, known.vadi, known.hours):
        assert fact.confidence in ("A", "B")


# Jati by pages and books named in sources.toml, beside each.
JATIS = {
    "asavari": ("audav", "sampurna"),  # Sitar Malika p.216
    "jaunpuri": ("shadav", "sampurna"),  # Sitar Malika p.216
    "deshkar": ("audav", "audav"),  # Sitar Malika p.223
    "multani": ("audav", "sampurna"),  # Sitar Malika p.247
    "bilawal": ("sampurna", "sampurna"),  # Sangit Visharad p.145
    "alhaiya_bilawal": ("shadav", "sampurna"),  # Sangit Visharad p.145
    "chhayanat": ("sampurna", "sampurna"),  # Sangit Visharad p.155
    "shankara": ("audav", "shadav"),  # Sangit Visharad p.156
    "purvi": ("sampurna", "sampurna"),  # Sangit Visharad p.159
    "bihag": ("audav", "sampurna"),  # tanarang
    "chandrakauns": ("audav", "audav"),  # tanarang
    "hindol": ("audav", "audav"),  # tanarang
    "khamaj": ("shadav", "sampurna"),  # musicalsday
    "bageshri": ("audav", "sampurna"),  # sangeetgyan
    "bhimpalasi": ("audav", "sampurna"),  # sangeetguru
    "madhuvanti": ("audav", "sampurna"),  # sangeetguru
    "maru_bihag": ("audav", "sampurna"),  # sangeetguru
    "kedar": ("audav", "shadav"),  # raagshashtra
}


@pytest.mark.parametrize("raga", JATIS)
def test_the_jati_is_the_one_that_is_taught(raga):
    assert ragas()[raga].jati == JATIS[raga]


# Sources


def test_confidence_is_what_the_sources_allow():
    for place, table in (each for raga in RAGA_IDS for each in sourced_of(raga)):
        families = families_of(table["source"])
        if table["confidence"] == "A":
            assert len(families) >= 2, place
        elif table["confidence"] == "B":
            assert families, place
        else:
            assert "from memory" in table["source"], place
            assert not families, place


def test_every_source_is_explained_and_every_explanation_used():
    used = set()
    for raga in RAGA_IDS:
        tables = [table for _, table in sourced_of(raga)] + file_of(raga).get("variant", [])
        used.update(key for table in tables for key in keys_of(table["source"]))
    assert used == set(sources())


def test_a_source_says_what_it_is_where_it_stands_and_how_it_was_used():
    for key, told in sources().items():
        assert set(told) - {"family"} == {"what", "where", "used"}, key
        assert all(text.strip() for text in told.values()), key


# The fields of a file against one another


def test_a_raga_admits_its_own_phrases_and_ways():
    for raga, known in ragas().items():
        ways = known.scale.value
        for swaras in (*(phrase.swaras for phrase in known.phrases), ways.aroha, ways.avaroha):
            assert break_of(known, swaras) is None, (raga, " ".join(map(str, swaras)))


def test_its_turns_leave_a_raga_free_to_grow():
    for raga, known in ragas().items():
        grown = {grow(Fresh(raga, seed), known) for seed in range(12)}
        assert len(grown) > 4, raga
        for swaras in grown:
            assert break_of(known, swaras) is None, (raga, " ".join(map(str, swaras)))
            assert swaras[-1].letter in known.nyas.value, (raga, " ".join(map(str, swaras)))


def test_a_turn_that_is_forbidden_or_required_is_one():
    for raga, known in ragas().items():
        for forbidden in known.forbidden:
            assert len(forbidden.turn) >= 2, raga
            assert break_of(known, forbidden.turn) is not None, raga
        letters = [required.letter for required in known.required]
        assert len(letters) == len(set(letters)), raga
        for required in known.required:
            assert all(len(turn) >= 2 for turn in required.turns), raga
            turned = set().union(*({swara.letter for swara in turn} for turn in required.turns))
            assert turned <= known.allowed, raga


NEITHER_FOURTH_NOR_FIFTH = {
    "jhinjhoti": "books print Ni; only komal Ni is there",
    "marwa": "komal Re and Dha, no consonance",
    "pilu": "komal Ga and shuddha Ni",
    "puriya_dhanashri": "Pa and komal Re",
    "shri": "komal Re and Pa",
}


def test_vadi_and_samvadi_lie_a_fourth_or_fifth_apart_but_in_a_handful():
    apart = set()
    for raga, known in ragas().items():
        vadi, samvadi = map(SWARAS.index, known.vadi.value)
        if (samvadi - vadi) % 12 not in (5, 7):
            apart.add(raga)
    assert apart == set(NEITHER_FOURTH_NOR_FIFTH)


def told_of(known):
    """What the file itself holds of the fields that vary, in the words of a variant."""
    ways = known.scale.value
    return {
        "that": known.that.value,
        "notes": " ".join(known.notes.value),
        "aroha": " ".join(map(str, ways.aroha)),
        "avaroha": " ".join(map(str, ways.avaroha)),
        "vadi": " ".join(known.vadi.value),
        "hours": "{:02}-{:02}".format(*known.hours.value),
    }


def test_what_others_teach_is_something_else():
    for raga, known in ragas().items():
        ours = told_of(known)
        told = [(variant.of, variant.value) for variant in known.variants]
        assert len(told) == len(set(told)), raga
        assert not [(of, value) for of, value in told if value == ours.get(of)], raga


def test_a_slip_is_the_word_of_one_source_alone():
    slips = 0
    for raga, known in ragas().items():
        for slip in (variant for variant in known.variants if variant.slip):
            slips += 1
            assert len(families_of(slip.source)) == 1, (raga, slip)
            others = [variant for variant in known.variants if variant is not slip]
            assert (slip.of, slip.value) not in {(each.of, each.value) for each in others}, raga
            assert slip.value not in known.others(slip.of), (raga, slip)
    assert slips > 40


# Letters that no teaching known to us has in these ragas, though a table prints them (common
# practice): what the slips had let in.
NEVER_IN = {
    "adana": "M", "alhaiya_bilawal": "M", "asavari": "G D", "bageshri": "N", "bhimpalasi": "N",
    "bilaskhani_todi": "G", "darbari": "r", "jaunpuri": "D", "madhuvanti": "n",
    "multani": "n D", "nat_bhairav": "D", "patdeep": "n", "rageshri": "M", "shri": "R m",
    "yaman_kalyan": "r",
}  # fmt: skip


def test_no_slip_lets_a_foreign_swara_in():
    for raga, letters in NEVER_IN.items():
        assert not ragas()[raga].ever & set(letters.split()), raga


def test_every_pair_that_is_taught_lies_in_swaras_that_are_taught():
    for raga, known in ragas().items():
        for pair in known.pairs:
            assert set(pair) <= known.ever, (raga, pair)


def test_hours_are_prahars():
    # Eight prahars of three hours from six o'clock (common practice).
    for raga, known in ragas().items():
        for begin, end in known.all_hours:
            assert (end - begin, begin % 3) == (3, 0), raga


def test_the_table_of_treatments_calls_the_ragas_by_their_names():
    names = {raga.name for raga in ragas().values()}
    assert set(shades().notes) <= names
    for pair in shades().pairs.values():
        assert {pair.swung, pair.still} <= names
    for shaded in shades().swaras.values():
        for told in shaded.treatments.values():
            assert set(told.ragas) <= names


def test_what_swings_is_what_the_table_of_treatments_has():
    named = {name: raga for raga in ragas().values() for name in (raga.name, *raga.also)}
    swung, still, sure = {}, {}, {}
    for letter, shaded in shades().swaras.items():
        for how, told in shaded.treatments.items():
            for name in told.ragas:
                (swung if how in ("swung", "low") else still).setdefault(name, set()).add(letter)
                sure.setdefault(name, []).append(told.confidence != "C")
    assert swung, "nothing was compared"
    for name, letters in swung.items():
        fact = named[name].andolan
        assert letters <= set(fact.value), name
        assert fact.sure == all(sure[name]), name
        if fact.sure:
            assert letters == set(fact.value), name
    for name, letters in still.items():
        assert not letters & set(named[name].andolan.value), name


def test_the_notes_are_those_of_the_table_of_treatments():
    named = {name: raga for raga in ragas().values() for name in (raga.name, *raga.also)}
    for name, letters in shades().notes.items():
        assert named[name].own == letters, name


# Words


def test_a_raga_is_told_in_plain_sentences():
    for raga, known in ragas().items():
        for text in (known.about, *known.others("about")):
            assert text[0].isupper(), (raga, text)
            assert text.endswith("."), (raga, text)
        assert 60 <= len(known.about) <= 330, raga
        # A turn or two may stand in sargam; a list of its swaras tells nothing of how it moves.
        run = 0
        for token in known.about.split():
            run = run + 1 if token.strip(",.;:'") in SWARAS else 0
            assert run <= 8, raga


def test_what_sets_a_near_raga_apart_is_a_clause():
    for raga, known in ragas().items():
        assert len({near.raga for near in known.near}) == len(known.near), raga
        for near in known.near:
            assert near.raga != raga
            assert len(near.apart) > 5, (raga, near)
            assert near.apart[-1].isalnum() or near.apart[-1] == "'", (raga, near)


FORMS = {
    "komal Re": "r", "shuddha Re": "R", "Re": "rR", "komal Ga": "g", "shuddha Ga": "G", "Ga": "gG",
    "shuddha Ma": "m", "tivra Ma": "M", "Ma": "mM", "Pa": "P", "komal Dha": "d",
    "shuddha Dha": "D", "Dha": "dD", "komal Ni": "n", "shuddha Ni": "N", "Ni": "nN",
}  # fmt: skip
SWARA = "|".join(sorted(FORMS, key=len, reverse=True))


def swaras_named(pattern, clause):
    """Forms of the swaras that stand where the pattern has them in the clause."""
    found = re.search(pattern.replace("SWARA", f"(?:{SWARA})"), clause)
    return [FORMS[name] for name in re.findall(SWARA, found[0])] if found else []


def test_a_swara_that_sets_a_near_raga_apart_is_truly_there_or_not():
    had = missed = 0
    for raga, known in ragas().items():
        for near in known.near:
            other = ragas()[near.raga]
            for forms in swaras_named(r"^(has|swings) SWARA(, SWARA)*( and SWARA)?\b", near.apart):
                assert other.own & set(forms), (raga, near)
                had += 1
            for forms in swaras_named(r"\bhas (no|neither) SWARA( nor SWARA)?\b", near.apart):
                assert not other.own & set(forms), (raga, near)
                missed += 1
    assert had > 100
    assert missed > 30
