"""Decks are checked, taken in, listed, handed over and taken away by commands, as a teacher types
them; what they say is for a teacher."""

from pathlib import Path

import pytest

from main import main
from tests.practice.bundling import deck_text, lying, tone, zipped

SHIPPED = Path(__file__).parents[2] / "assets" / "decks"


@pytest.fixture
def deck(tmp_path, monkeypatch, capsys):
    """Runs a command of `main.py deck`: its exit code and what it says."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("KAAN_HOME", str(tmp_path / "home"))

    def run(*words):
        code = main(["deck", *words])
        said = capsys.readouterr()
        return code, said.out + said.err

    return run


def write(name, text):
    Path(name).write_text(text, encoding="utf-8")


def test_a_deck_goes_from_a_teacher_to_a_student(deck, tmp_path):
    tone(tmp_path / "phrase.wav")
    write("gaps.toml", deck_text(recording="phrase.wav"))
    assert deck("check", "gaps.toml") == (
        0,
        'gaps.toml: "First gaps" (first-gaps): 1 question (1 choose-one), 1 recording. '
        "Nothing is wrong.\n",
    )
    assert deck("list")[1].startswith("There are no decks here yet")
    assert not Path("home").exists()
    code, said = deck("add", "gaps.toml", "--dry-run")
    assert (code, Path("home").exists()) == (0, False)
    assert said.startswith('Would be taken in: "First gaps" (first-gaps), new here; 1 question')
    assert said.endswith("Nothing has been changed.\n")
    code, said = deck("add", "gaps.toml")
    assert said.startswith('Taken in: "First gaps" (first-gaps), new here; 1 question')
    assert said.endswith("Taken in: one recording\n")
    code, said = deck("hand-over", "first-gaps", "--out", "lesson.zip")
    assert code == 0
    assert said.startswith("lesson.zip: decks/first-gaps.toml and recordings/phrase-")
    code, said = deck("add", "lesson.zip", "--folder", "student")
    assert said.startswith('Taken in: "First gaps" (first-gaps), new here')
    kept = lying(tmp_path / "home")
    del kept["decks/.handed/first-gaps.toml"]
    assert lying(tmp_path / "student") == kept
    assert deck("list", "--folder", "student") == (
        0,
        'first-gaps  "First gaps": 1 question (1 choose-one), 1 recording\n',
    )
    assert deck("add", "lesson.zip", "--folder", "student")[1].startswith(
        '"First gaps" (first-gaps) is here already, just so.\n'
    )
    code, said = deck("remove", "first-gaps", "--folder", "student")
    assert said == "first-gaps is gone, and asked no more. What was answered stays in the log.\n"
    assert lying(tmp_path / "student") == {}


def test_a_course_and_a_tradition_come_with_the_decks_that_they_need(deck, tmp_path):
    course = 'name = "Spring"\nabout = "Of one term."\n[[step]]\nname = "First"\ndecks = ["gaps"]\n'
    Path("home/courses").mkdir(parents=True)
    write("home/courses/spring.toml", course)
    write("gaps.toml", deck_text("gaps"))
    deck("add", "gaps.toml")
    words = ("hand-over", "--course", "spring", "--out", "term.zip")
    assert deck(*words)[1].startswith("term.zip: courses/spring.toml and decks/gaps.toml; ")
    assert deck("check", "term.zip")[1].count("Nothing is wrong.") == 2
    for taken in (
        'Taken in: the course "Spring" (spring), new here\n',
        'The course "Spring" (spring) is here already, just so.\n',
    ):
        assert deck("add", "term.zip", "--folder", "student")[1].endswith(taken)
    zipped(Path("words.zip"), {"tradition.toml": '[durga]\nconfirmed = ["hours"]\n'})
    assert "word on ragas, talas and stages; new here" in deck("add", "words.zip")[1]
    assert "is here already, just so" in deck("add", "words.zip")[1]
    zipped(Path("words.zip"), {"tradition.toml": '[durga]\nconfirmed = ["nyas"]\n'})
    assert "kept as tradition-before.toml" in deck("add", "words.zip")[1]
    assert "hours" in Path("home/tradition-before.toml").read_text()


def test_a_newer_edition_says_what_it_changes_and_an_older_one_is_taken_only_if_meant(deck):
    write("old.toml", deck_text())
    write("new.toml", deck_text(head="edition = 2").replace('"Ga"', '"Ni"'))
    deck("add", "old.toml")
    code, said = deck("add", "new.toml")
    assert said.splitlines() == [
        'Taken in: "First gaps" (first-gaps), in place of what was here; 1 question '
        "(1 choose-one).",
        '  In "On which swara does it rest?" what is right and what is offered have changed; what '
        "is known of it stays.",
        "  It is edition 2, where edition 1 was.",
    ]
    code, said = deck("add", "old.toml")
    assert code == 1
    assert said.endswith(
        "is edition 1, and edition 2 is here already. If the older one is to replace it, add "
        "--older.\n"
    )
    assert "edition 2" in deck("list")[1]
    code, said = deck("add", "old.toml", "--older", "--dry-run")
    assert "edition 2" in deck("list")[1]
    assert deck("add", "old.toml", "--older")[0] == 0
    assert "edition 2" not in deck("list")[1]


def test_several_files_are_added_at_once_and_where_one_is_refused_none_is(deck):
    for name in ("one", "two"):
        write(f"{name}.toml", deck_text(name, name=name))
        write(f"{name}-bad.toml", deck_text(name).replace("prompt", "promt"))
    write("again.toml", deck_text("one", name="Other"))
    code, said = deck("add", "one.toml", "one-bad.toml", "two-bad.toml")
    assert (code, said.count("write prompt")) == (1, 2)
    code, said = deck("add", "one.toml", "again.toml")
    assert (code, "again.toml: holds the deck one, and so does one.toml; add them" in said) == (
        1,
        True,
    )
    assert deck("list")[1].startswith("There are no decks here yet")
    code, said = deck("add", "one.toml", "two.toml", "one.toml")
    assert (code, said.count("Taken in: ")) == (0, 2)
    assert deck("list")[1].startswith('one  "one": 1 question')
    assert deck("check", "one.toml", "two.toml")[1].count("Nothing is wrong.") == 2


def test_every_fault_of_every_file_is_told_with_its_line_and_the_exit_code_is_1(deck):
    write("bad.toml", deck_text().replace('kind = "choose-one"', 'kind = "choose-won"') + "x = 1\n")
    write("good.toml", deck_text())
    write("text.txt", "")
    zipped(Path("b.zip"), {"../x.toml": "", "decks/a.toml": ""})
    code, said = deck("check", "bad.toml", "good.toml", "none.toml", "text.txt", "b.zip")
    assert code == 1
    lines = said.splitlines()
    assert lines[0].startswith("bad.toml, line 8: kind: ")
    assert 'good.toml: "First gaps"' in said
    assert any(line.startswith("none.toml, line 1: file: cannot be opened") for line in lines)
    assert "text.txt: is no deck; give a deck's .toml or a bundle's .zip" in said
    assert "b.zip: ../x.toml: lies outside the bundle" in said
    assert not Path("home").exists()


def test_a_deck_that_is_faulty_is_listed_with_what_is_wrong(deck):
    Path("home/decks").mkdir(parents=True)
    write("home/decks/mine.toml", 'deck = "mine"\nname = ""\n')
    code, said = deck("list")
    assert (code, said.count("\n")) == (0, 1)
    assert said.startswith("mine  cannot be asked: mine.toml, line 1: question: there is none;")
    assert said.endswith(", and 1 more\n")
    assert deck("hand-over", "mine", "--out", "x.zip")[0] == 1
    assert not Path("x.zip").exists()


def test_a_sheet_is_shown_first_and_then_written(deck):
    write("terms.csv", "prompt;right;wrong;wrong;sargam\nWhich comes first?;Alap;Jor;Jhala;S R\n")
    code, said = deck("from-sheet", "terms.csv", "--dry-run", "--out", "terms.toml")
    assert code == 0
    assert said.splitlines() == [
        'It would make "Terms" (terms), 1 question (1 choose-one):',
        "row 2: Which comes first?",
        "  sounds S R",
        "  right Alap; wrong Jor and Jhala",
        "Nothing has been written.",
    ]
    assert not Path("terms.toml").exists()
    code, said = deck("from-sheet", "terms.csv", "--name", "Words", "--out", "terms.toml")
    assert said.startswith('terms.toml: "Words" (terms), 1 question')
    assert deck("check", "terms.toml")[0] == 0
    text = Path("terms.toml").read_text()
    assert deck("from-sheet", "terms.csv", "--name", "Words") == (0, text)
    code, said = deck("from-sheet", "terms.csv", "--out", "terms.toml")
    assert (code, said) == (
        1,
        "terms.toml: is there already; name another file, or take that one away\n",
    )
    write("bad.csv", "prompt,right,wrong\n,a,b\n")
    assert deck("from-sheet", "bad.csv") == (
        1,
        "bad.csv, row 2, prompt: is empty; fill it in, or empty the whole row\n",
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("add", "none.toml"), "none.toml, line 1: file: cannot be opened"),
        (("remove", "gone"), "there is no such deck; there are none"),
        (("hand-over", "gone", "--out", "x.zip"), "there is no such deck; there are none"),
        (("hand-over", "--out", "x.zip"), "nothing would be in it; name a deck"),
        (("from-sheet", "none.csv"), "none.csv: cannot be opened: No such file"),
        (("from-sheet", "x.csv", "--out", "x.zip"), "let its name end in .toml"),
    ],
)
def test_what_cannot_be_done_is_told_with_the_remedy(deck, words, said):
    code, told = deck(*words)
    assert code == 1
    assert said in told


def test_the_shipped_decks_are_without_fault_and_can_be_handed_over_together(deck):
    paths = sorted(SHIPPED.glob("*.toml"))
    assert len(paths) == 3
    code, said = deck("check", *map(str, paths))
    assert (code, said.count("Nothing is wrong.")) == (0, 3)
    for path in paths:
        assert deck("add", str(path))[0] == 0
    assert deck("hand-over", *(path.stem for path in paths), "--out", "all.zip")[0] == 0
    assert deck("check", "all.zip")[0] == 0


def test_help_has_examples(capsys):
    for words in ([], ["add"], ["check"], ["from-sheet"], ["hand-over"], ["list"], ["remove"]):
        with pytest.raises(SystemExit) as left:
            main(["deck", *words, "--help"])
        assert left.value.code == 0
        assert "example" in capsys.readouterr().out
