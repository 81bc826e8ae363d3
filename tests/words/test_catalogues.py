"""The catalogues: whole, without faults, and nothing of a session is left in English."""

import gettext
import io
import re
from collections import defaultdict
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing

import polib
import pytest

from desk import catalogues
from practice import Practice
from quizzes.kinds import OWN_KINDS
from quizzes.names import counted, in_figures
from tests.words.left import LATIN_WORD, STAY, texts
from words import (
    catalogue,
    in_english,
    language,
    say,
    say_as,
    say_many,
    swaras_in,
    to_say,
    unread,
    use,
)
from words.catalogue import WORDS
from words.gathering import Message, faults, messages, parts_of

LANGUAGES = ("hi", "bn")
UNTRANSLATED = ("desk/", "screens/gallery")
"""Where texts begin that are for developers."""


@pytest.fixture(autouse=True)
def english_again():
    yield
    use()


@pytest.fixture(scope="module")
def said():
    return catalogues.gathered()


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_catalogue_has_every_text_each_once_with_its_parts(said, language):
    entries, wrong = catalogues.read(language)
    assert wrong == []
    assert [entry.text for entry in entries if entry not in said] == []
    lacking = [
        f"{message.text!r} ({places[0]})"
        for message, places in said.items()
        if message not in entries and not all(p.startswith(UNTRANSLATED) for p in places)
    ]
    assert lacking == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_catalogue_is_one_that_gettext_reads_and_says_that_nobody_has_read_it(language):
    for path in (WORDS / language).glob("*.po"):
        file = polib.pofile(str(path))
        assert "Not yet read by a native reader" in file.header
        # The rule of the language for plurals, by CLDR: one thing, or any other number.
        assert file.metadata["Plural-Forms"] == "nplurals=2; plural=(n != 1);"
        gettext.GNUTranslations(io.BytesIO(file.to_binary()))


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_text_mixes_the_letters_of_two_languages(language):
    other = {"hi": re.compile("[\u0980-\u09fe]"), "bn": re.compile("[\u0900-\u0963\u0966-\u097f]")}
    for path in (WORDS / language).glob("*.po"):
        for entry in polib.pofile(str(path)):
            for text in (entry.msgstr, *entry.msgstr_plural.values()):
                assert not other[language].search(text), (path.name, entry.msgid)


@pytest.mark.parametrize("language", LANGUAGES)
def test_nothing_that_is_read_of_a_question_is_left_in_english(language):
    # All kinds, a few of their skills; `python -m tests.words.left` looks at many.
    use(language)
    left = defaultdict(set)
    for kind in OWN_KINDS:
        for where, text in texts(kind, skills=2, each=1):
            if any(word not in STAY for word in LATIN_WORD.findall(text)):
                left[kind, where].add(text)
    assert dict(left) == {}


def test_one_several_and_meanings_are_told_apart(tmp_path, monkeypatch):
    folder = tmp_path / "hi"
    folder.mkdir()
    (folder / "a.po").write_text(
        'msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n'
        'Plural-Forms: nplurals=2; plural=(n != 1);\\n"\n\n'
        'msgid "From {a} to {b}"\nmsgstr "{b} <- {a}"\n\n'
        'msgctxt "of a string"\nmsgid "open"\nmsgstr "khula"\n',
        "utf-8",
    )
    (folder / "b.po").write_text(
        'msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n'
        'Plural-Forms: nplurals=2; plural=(n != 1);\\n"\n\n'
        'msgid "{count} gap"\nmsgid_plural "{count} gaps"\n'
        'msgstr[0] "{count} ek"\nmsgstr[1] "{count} kai"\n',
        "utf-8",
    )
    monkeypatch.setattr("words.catalogue.WORDS", tmp_path)
    catalogue._whole.cache_clear()
    try:
        use("hi")
        assert say("From {a} to {b}", a=1, b=2) == "2 <- 1"
        assert (say_as("of a string", "open"), say("open")) == ("khula", "open")
        assert [say_many("{count} gap", "{count} gaps", n) for n in (1, 2)] == ["1 ek", "2 kai"]
        assert (say("nowhere {x}", x="y"), say("")) == ("nowhere y", "")
        use("en")
        assert say("From {a} to {b}", a=1, b=2) == "From 1 to 2"
        assert say_many("{count} gap", "{count} gaps", 0) == "0 gaps"
    finally:
        catalogue._whole.cache_clear()


@pytest.fixture
def hindi(tmp_path, monkeypatch):
    """A folder for the only files of Hindi that there are."""
    monkeypatch.setattr("words.catalogue.WORDS", tmp_path)
    catalogue._whole.cache_clear()
    (tmp_path / "hi").mkdir()
    yield tmp_path / "hi"
    catalogue._whole.cache_clear()


HEAD = b'msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n%s"\n\n'


@pytest.mark.parametrize(
    "broken",
    [
        HEAD % b"" + b'msgid "b"\nmsgstr "not "so"\n',
        HEAD % b"" + b'msgid "b"\nmsgstr "\xff"\n',
        HEAD % b"Plural-Forms: nplurals=2; plural=import;\\n" + b'msgid "b"\nmsgstr "c"\n',
        HEAD.replace(b"UTF-8", b"none") % b"" + b'msgid "b"\nmsgstr "c"\n',
    ],
)
def test_a_file_that_cannot_be_read_is_told_and_the_others_and_english_stay(
    hindi, tmp_path, broken
):
    (hindi / "a.po").write_bytes(HEAD % b"" + b'msgid "a"\nmsgstr "ek"\n')
    (hindi / "b.po").write_bytes(broken)
    use("hi")
    assert (say("a"), say("b")) == ("ek", "b")
    (told,) = unread()
    assert "b.po cannot be read" in told
    with closing(Practice(tmp_path / "student", speaker="silence")) as practice:
        assert told in practice.troubles
    use()
    assert unread() == ()


def test_a_translation_with_parts_that_there_are_not_is_said_in_english(hindi):
    (hindi / "a.po").write_text(
        'msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n'
        'Plural-Forms: nplurals=2; plural=(n != 1);\\n"\n\n'
        'msgid "to {a}"\nmsgstr "{b} tak"\n\nmsgid "of {a}"\nmsgstr "{a ka"\n\n'
        'msgid "{count} gap"\nmsgid_plural "{count} gaps"\n'
        'msgstr[0] "{0}"\nmsgstr[1] "{count.x}"\n',
        "utf-8",
    )
    use("hi")
    assert (say("to {a}", a=1), say("of {a}", a=2)) == ("to 1", "of 2")
    assert [say_many("{count} gap", "{count} gaps", n) for n in (1, 2)] == ["1 gap", "2 gaps"]


def test_whoever_translates_is_told_what_is_unread_unsure_doubled_or_let_go(hindi):
    (hindi / "a.po").write_bytes(
        HEAD % b"" + b'#, fuzzy\nmsgid "a"\nmsgstr "ek"\n\n#~ msgid "old"\n#~ msgstr "purana"\n'
    )
    (hindi / "b.po").write_bytes(HEAD % b"" + b'msgid "a"\nmsgstr "ek"\n')
    (hindi / "c.po").write_bytes(HEAD % b"" + b'msgid "c "d"\n')
    entries, found = catalogues.read("hi")
    assert [entry.text for entry in entries] == ["a"]
    unsure, doubled, broken = found
    assert "a.po, line 4: 'a': it is marked fuzzy" in unsure
    assert doubled.endswith("b.po, line 4: 'a' is in a.po, line 4, too")
    assert "c.po cannot be read" in broken


def test_two_is_shorter_before_its_ending_in_bengali_and_still_found_as_a_number():
    use("bn")
    told = counted(2, "{number} swara", "{number} swaras")
    assert told.startswith("দুটি ")
    assert in_figures(told, 2).startswith("2টি ")


def test_what_is_printed_in_english_is_so_on_its_thread_alone_and_only_meanwhile():
    use("hi")
    with ThreadPoolExecutor(1) as other, in_english():
        assert (language(), swaras_in(), say("Begin")) == ("en", "latin", "Begin")
        assert other.submit(lambda: (language(), swaras_in())).result() == ("hi", "devanagari")
    assert (language(), swaras_in()) == ("hi", "devanagari")
    assert say("Begin") != "Begin"


def test_all_that_is_said_in_code_is_gathered(tmp_path):
    for folder in ("words", "audio", "quizzes", "scheduler", "practice", "screens", "desk"):
        (tmp_path / folder).mkdir()
    (tmp_path / "quizzes" / "a.py").write_text(
        'X = to_say("later")\nsay("now {x}", x=1)\nsay_many("a", "b", 2)\n'
        'counted(3, "{number} c", "{number} d")\nsay_as("m", "e")\nsay(X)\n'
    )
    (tmp_path / "screens" / "a.kv").write_text(
        "Words:\n    text: say('it (is) {a}', a=root.f(1)) if root.x else say('not')\n"
    )
    found = messages(tmp_path)
    assert set(found) == {
        Message("later"),
        Message("now {x}"),
        Message("a", "b"),
        Message("{number} c", "{number} d"),
        Message("e", meaning="m"),
        Message("it (is) {a}"),
        Message("not"),
    }
    assert found[Message("not")] == ["screens/a.kv:2"]
    assert to_say("x") == "x"


@pytest.mark.parametrize(
    ("text", "translated", "wrong"),
    [
        ("From {a}", "{a} se", []),
        ("From {a}", "{b} se", ["{b} is not a part of it; it has a", "{a} is missing"]),
        ("From {a}", "se", ["{a} is missing"]),
        ("From", " ", ["a form is empty"]),
        ("From {a}", "{a} {", ["a brace has no partner"]),
    ],
)
def test_a_translation_with_other_parts_is_told(text, translated, wrong):
    assert list(faults(Message(text), {0: translated})) == wrong
    # One thing may be said without its number.
    assert list(faults(Message("{count} gap", "{count} gaps"), {0: "ek", 1: "{count}"})) == []
    assert parts_of("{a} and {b:.1f}") == {"a", "b"}
