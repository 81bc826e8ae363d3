"""Which folder may know which: the imports are read and held to the table in DEVELOPERS.md."""

import ast
import re
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
OURS = {
    "words",
    "audio",
    "scheduler",
    "quizzes",
    "practice",
    "screens",
    "desk",
    "main",
    "tests",
    "assets",
}

MAY_IMPORT = {
    "words": set(),
    "audio": {"words"},
    "scheduler": {"words"},
    "quizzes": {"audio", "words"},
    "practice": {"quizzes", "scheduler", "audio", "words"},
    "desk": {"practice", "quizzes", "scheduler", "audio", "words"},
    "screens": {"practice", "quizzes", "scheduler", "audio", "words"},
    "main": {"screens", "desk", "practice", "quizzes", "scheduler", "audio", "words"},
}
MAY_SEE_KIVY = re.compile(r"main\.py|screens/(?!__init__|text)\w+\.py|audio/speakers/player\.py")

MODULES = sorted(
    path.relative_to(ROOT)
    for folder in (*MAY_IMPORT, "main")
    for path in ([ROOT / "main.py"] if folder == "main" else (ROOT / folder).rglob("*.py"))
)


@cache
def parsed(path):
    return ast.parse((ROOT / path).read_text("utf-8"))


@cache
def imported(path):
    """The first part of every name that a module imports, wherever in it."""
    names = set()
    for node in ast.walk(parsed(path)):
        if isinstance(node, ast.Import):
            names |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: import by full name"
            names.add((node.module or "").partition(".")[0])
    return names


# All modules in one test: a test for each would take longer to report than to run.


def test_a_module_imports_only_along_the_arrows():
    against = [
        f"{path} imports {name}"
        for path in MODULES
        for folder in [path.parts[0].removesuffix(".py")]
        for name in imported(path) & OURS - {folder} - MAY_IMPORT[folder]
    ]
    assert against == []


def test_kivy_is_seen_only_where_windows_and_the_player_are():
    seen = [path.as_posix() for path in MODULES if "kivy" in imported(path)]
    assert seen
    assert [path for path in seen if not MAY_SEE_KIVY.fullmatch(path)] == []


def test_the_table_in_the_guide_is_the_one_held_here():
    rows = re.findall(
        r"^\| `(\w+)(?:/|\.py)` \|[^|]*\| ([^|]*) \|$",
        (ROOT / "DEVELOPERS.md").read_text("utf-8"),
        re.M,
    )
    told = {
        folder: set(re.findall(r"`(\w+)`", allowed))
        if allowed != "everything"
        else MAY_IMPORT[folder]
        for folder, allowed in rows
        if folder in MAY_IMPORT
    }
    assert told == MAY_IMPORT


def test_a_module_says_in_its_first_line_what_it_is():
    said = {path.as_posix(): ast.get_docstring(parsed(path)) or "" for path in MODULES}
    assert [path for path, text in said.items() if not text] == []
    assert [path for path, text in said.items() if len(text.splitlines()[0]) > 100] == []


@pytest.mark.parametrize("folder", ["audio", "scheduler", "quizzes", "practice"])
def test_what_a_package_offers_is_there(folder):
    package = __import__(folder)
    assert sorted(package.__all__, key=lambda n: (not n.isupper(), not n[0].isupper(), n)) == list(
        package.__all__
    )
    for name in package.__all__:
        assert hasattr(package, name), f"{folder}.{name}"
