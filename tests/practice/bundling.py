"""Decks, sounds and zip files for tests of what comes into a folder."""

import zipfile
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from audio.format import SAMPLE_RATE
from audio.recordings import bring_in
from audio.wav import write_wav

QUESTION = """
# {id}, written by hand
[[question]]
id = "{id}"
kind = "choose-one"
prompt = "On which swara does it rest?"
{cue}
  [[question.choice]]
  text = "Ga"
  right = true
  [[question.choice]]
  text = "Re"
"""


def deck_text(deck="first-gaps", *, name="First gaps", head="", ids=("rest",), recording=""):
    cue = f'recording = "{recording}"' if recording else 'sargam = "N, R G"'
    questions = "".join(QUESTION.format(id=each, cue=cue) for each in ids)
    return f'deck = "{deck}"\nname = "{name}"\n{head}\n{questions}'


def tone(path: Path, hz: float = 220.0, seconds: float = 0.3) -> Path:
    """A plain tone in a WAV file that nobody has brought in yet."""
    time_s = np.arange(int(seconds * SAMPLE_RATE)) / SAMPLE_RATE
    write_wav(path, [(0.2 * np.sin(2 * np.pi * hz * time_s)).astype(np.float32)])
    return path


@cache
def brought_in(hz: float = 220.0) -> tuple[str, bytes]:
    """The name and the content of a recording that has been brought in."""
    with TemporaryDirectory() as made:
        name = bring_in(tone(Path(made) / "phrase.wav", hz), Path(made) / "in")
        return name, (Path(made) / "in" / name).read_bytes()


def zipped(path: Path, files, **written) -> Path:
    """A zip of these entries, as any program would make it."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content, **written)
    return path


def lying(folder: Path) -> dict[str, bytes]:
    """All files in a folder, less the lock of those that change it."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != ".lock"
    }
