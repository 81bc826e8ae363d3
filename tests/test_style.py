"""The tree as a whole: one style, and no machine's paths."""

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def ruff(*arguments):
    return subprocess.run(
        [sys.executable, "-m", "ruff", *arguments], cwd=ROOT, capture_output=True, text=True
    )


def test_ruff_finds_nothing_to_mend():
    found = ruff("check", ".")
    assert found.returncode == 0, found.stdout


def test_the_format_is_the_one_that_ruff_gives():
    found = ruff("format", "--check", ".")
    assert found.returncode == 0, found.stdout


def test_no_module_says_where_on_a_machine_it_was_written():
    pattern = re.compile(r"/(home|root|work)/\w")
    for path in ROOT.glob("*/**/*.py"):
        if not any(part.startswith(".") for part in path.relative_to(ROOT).parts):
            assert not pattern.search(path.read_text("utf-8")), path
