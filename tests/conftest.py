"""For all tests: their own data folder, and no quiet skips where KAAN_NO_SKIPS is set."""

import atexit
import gc
import os
import shutil
import tempfile
from itertools import count

import pytest
from hypothesis import HealthCheck, settings

# Looking for garbage among all that is imported, before there is any, takes a third of the time it
# takes to collect the tests; and what is there then stays to the end and need not be looked at.
gc.disable()

# Some tests import Kivy while they are collected. Each process gives it a home of its own: of two
# that make one home at the same time, one fails.
os.environ["KIVY_HOME"] = tempfile.mkdtemp(prefix="kaan-kivy-")
atexit.register(shutil.rmtree, os.environ["KIVY_HOME"], ignore_errors=True)

# Machines that share their cores are slow now and then; that is no failure of an example. A fault
# in one of eighteen shows nine times in ten among 40 examples, and is tried first in later runs.
settings.register_profile(
    "kaan", deadline=None, max_examples=40, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("kaan")


WINDOW = "tests/window/"
PARTS = {
    f"{WINDOW}test_{name}.py": part
    for part, names in {
        "desk": (
            "courses_made", "deck_questions", "desk", "main_job", "modes", "settings_screen",
            "tradition",
        ),
        "drill": (
            "drill", "explained", "flow", "ordering", "refusal", "room", "sharing", "string",
            "tapping", "wheel", "writing",
        ),
    }.items()
    for name in names
}  # fmt: skip
"""Parts of the tests of the window, and a third of all others: a process for each part is done
sooner than one for all."""
TOGETHER = {
    f"tests/{path}.py"
    for path in (
        "practice/test_deaf_student",
        "quizzes/test_growing",
        "quizzes/test_naive_listener",
        "quizzes/test_stage_passages_heard",
        "quizzes/test_tala_questions",
        "test_arrows",
    )
}
"""Modules whose tests share what takes seconds to make."""


def scope_of(nodeid):
    """Tests of one scope run in one process: each part of those of the window, since a window and
    the app kept in it cost as much as twenty answers, and those of the modules above. Any other is
    for itself.
    """
    module = nodeid.partition("::")[0]
    if module.startswith(WINDOW) and module != f"{WINDOW}test_real_input.py":  # has its own process
        return PARTS.get(module, WINDOW)
    return module if module in TOGETHER else nodeid


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """For `--dist loadgroup`, by where a test stands: pytest-xdist 3.8 hands groups on by writing
    them into the names of tests, which pytest 9.2 takes no notice of (seen)."""
    from xdist.scheduler import LoadScopeScheduling

    class Scheduling(LoadScopeScheduling):
        def _split_scope(self, nodeid):
            return scope_of(nodeid)

    return Scheduling(config, log) if config.getvalue("dist") == "loadgroup" else None


@pytest.fixture(scope="session")
def homes(tmp_path_factory):
    """Names of folders that are not there yet; to make one for each test would take seconds."""
    folder = tmp_path_factory.mktemp("homes")
    return (folder / f"kaan-home-{number}" for number in count())


@pytest.fixture(autouse=True)
def own_folder(homes, monkeypatch):
    """No test touches the settings and the log of whoever runs it."""
    monkeypatch.setenv("KAAN_HOME", str(next(homes)))


@pytest.hookimpl(trylast=True)
def pytest_collection_finish():
    gc.collect()
    gc.freeze()
    gc.set_threshold(700, 10, 60)  # a whole screen is thrown away in each test of the window
    gc.enable()


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session, exitstatus):
    if not os.environ.get("KAAN_NO_SKIPS") or exitstatus != pytest.ExitCode.OK:
        return
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if reporter is not None and reporter.stats.get("skipped"):
        reporter.write_line("a test was skipped, and KAAN_NO_SKIPS asks that none is", red=True)
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
