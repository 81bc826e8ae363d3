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

# Machines that share their cores are slow now and then; that is no failure of an example.
settings.register_profile(
    "kaan", deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("kaan")


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
