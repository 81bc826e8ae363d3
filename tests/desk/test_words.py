"""`main.py words`: how far catalogues go, what is wrong with them, and files for translators."""

import polib
import pytest

from main import main
from words.gathering import Message

SAID = {
    Message("to {a}"): ["quizzes/a.py:3"],
    Message("{count} gap", "{count} gaps"): ["screens/a.py:5", "screens/b.kv:7"],
    Message("open", meaning="of a string"): ["quizzes/b.py:1"],
}
HEAD = 'msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n"\n\n'


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """Of the catalogues, where only so much is said; Hindi lacks two texts, Bengali all."""
    monkeypatch.setattr("words.catalogue.WORDS", tmp_path)
    monkeypatch.setattr("desk.catalogues.gathered", lambda: dict(SAID))
    (tmp_path / "hi").mkdir()
    (tmp_path / "hi" / "a.po").write_text(HEAD + 'msgid "to {a}"\nmsgstr "{a} tak"\n')
    return tmp_path


def test_how_far_each_goes_is_told_and_what_is_wrong_fails(folder, capsys):
    assert main(["words"]) == 0
    assert capsys.readouterr().out.splitlines() == [
        "hi: 1 of 3 texts; 0 faults",
        "bn: 0 of 3 texts; 0 faults",
    ]
    (folder / "bn").mkdir()
    (folder / "bn" / "b.po").write_text(HEAD + 'msgid "gone"\nmsgstr "x"\n')
    assert main(["words"]) == 1
    assert "    'gone' is said nowhere" in capsys.readouterr().out
    assert main(["words", "hi"]) == 0


def test_what_is_lacking_is_written_so_that_it_can_be_translated(folder, tmp_path, capsys):
    wanted = tmp_path / "lacking.po"
    assert main(["words", "hi", "--lacking", str(wanted)]) == 0
    several, meant = polib.pofile(str(wanted))
    assert (several.msgid_plural, several.msgstr_plural) == ("{count} gaps", {0: "", 1: ""})
    assert several.occurrences == [("screens/a.py", "5"), ("screens/b.kv", "7")]
    assert (meant.msgid, meant.msgctxt, meant.msgstr) == ("open", "of a string", "")
    assert main(["words", "--all", str(wanted)]) == 0
    assert len(polib.pofile(str(wanted))) == 3
    capsys.readouterr()
    assert main(["words", "--lacking", str(wanted)]) == 2
    assert "--lacking needs a language" in capsys.readouterr().out
