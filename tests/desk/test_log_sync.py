"""The folder kept in step is set and looked into by a command."""

import pytest

from main import main
from tests.practice.devices import Device, files_in


@pytest.fixture
def sync(tmp_path, capsys):
    """Runs the command on a teacher's device: (exit code, what was said, what went wrong)."""
    desk = Device(tmp_path / "desk", "teacher", "The teacher")

    def run(*words):
        code = main(["--folder", str(desk.home), "log", "sync", *words])
        return code, *capsys.readouterr()

    return run


@pytest.fixture
def cloud(tmp_path):
    tablet = Device(tmp_path / "tablet").keep(tmp_path / "cloud")
    tablet.answer(3)
    tablet.look()
    return tmp_path / "cloud"


def test_a_folder_is_set_looked_into_and_left(sync, cloud):
    code, out, err = sync()
    assert (code, out) == (1, "")
    assert err == "No folder is kept in step. Name one with --folder-in-step PATH.\n"
    code, out, err = sync("--folder-in-step", str(cloud))
    assert (code, err) == (0, "")
    assert out.startswith(f"{cloud}: nothing new.\nFound there, and not on this device: Mira. ")
    assert sync("--take", "all") == (0, "Taken in: 3 new answers of Mira.\n", "")
    assert sync() == (0, f"{cloud}: nothing new.\n", "")
    assert sync("--stop") == (0, "No folder is kept in step.\n", "")
    assert sync()[0] == 1
    assert files_in(cloud) == ["mira.tablet.zip"]


def test_what_goes_wrong_is_told(sync, cloud, tmp_path):
    code, _, err = sync("--folder-in-step", str(tmp_path / "nowhere"))
    assert (code, "nowhere: there is no such folder; make it first" in err) == (1, True)
    assert sync("--stop", "--take", "all")[0] == 1
    (cloud / "half.zip").write_bytes((cloud / "mira.tablet.zip").read_bytes()[:200])
    code, out, err = sync("--folder-in-step", str(cloud), "--take", "all")
    assert (code, out) == (1, "Taken in: 3 new answers of Mira.\n")
    assert err.startswith("half.zip: it may not be here whole yet. ")
    cloud.rename(tmp_path / "unplugged")
    code, out, err = sync()
    assert (code, out) == (1, "")
    assert err.startswith(f"{cloud} is not there. ")
