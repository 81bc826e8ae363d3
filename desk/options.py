"""Options that several commands share, with messages that say what to write instead."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from audio.errors import TuningError
from audio.tuning import SA_HZ_HIGHEST, SA_HZ_LOWEST, SITAR_SA_HZ, Tuning, load_tuning
from practice import default_folder
from practice.students import Known, Students
from quizzes.tradition import load_tradition


def number_between(low: float, high: float, unit: str) -> Callable[[str], float]:
    """A reader of numbers that refuses what cannot be used."""

    def read(text: str) -> float:
        try:
            value = float(text)
        except ValueError:
            value = float("nan")
        if not low <= value <= high:
            raise argparse.ArgumentTypeError(
                f"{text!r} cannot be used; give {unit} from {low:g} to {high:g}"
            )
        return value

    return read


def whole_between(low: int, high: int, what: str) -> Callable[[str], int]:
    """A reader of whole numbers that refuses what cannot be used."""

    def read(text: str) -> int:
        if not text.isdecimal() or not low <= int(text) <= high:
            raise argparse.ArgumentTypeError(
                f"{text!r} cannot be used; give {what}, a whole number from {low} to {high}"
            )
        return int(text)

    return read


def add_folder(parser: argparse._ActionsContainer, what: str) -> None:
    parser.add_argument(
        "--folder",
        type=Path,
        default=argparse.SUPPRESS,  # what stands before the command is not undone
        help=f"where {what} kept (KAAN_HOME, or your data folder, unless given)",
    )


def add_student(parser: argparse._ActionsContainer, what: str) -> None:
    parser.add_argument(
        "--student",
        metavar="NAME",
        default=argparse.SUPPRESS,
        help=f"{what}, by name or id (who practised last, unless given)",
    )


def home_of(options: argparse.Namespace) -> Path:
    """The folder of what all students share: as it was given, or the usual one."""
    return options.folder or default_folder()


def student_of(options: argparse.Namespace) -> Known:
    """The student who was named, or else who was chosen last. Raises StudentsError."""
    students, name = Students(home_of(options)), getattr(options, "student", None)
    return students.current() if name is None else students.named(name)


def add_seed(parser: argparse.ArgumentParser, what: str) -> None:
    parser.add_argument(
        "--seed",
        metavar="N",
        type=whole_between(0, 2**62, "a seed"),
        default=1,
        help=f"{what} (%(default)s unless given)",
    )


def add_sa(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--sa",
        metavar="HZ",
        type=number_between(SA_HZ_LOWEST, SA_HZ_HIGHEST, "hertz"),
        default=round(SITAR_SA_HZ, 2),
        help="middle Sa in hertz (%(default)s, C sharp 4, unless given)",
    )


def add_tuning(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--tuning",
        metavar="NAME",
        type=_tuning_name,
        default="just",
        help="just (unless given), equal, or the path of a Scala .scl file",
    )


def _tuning_name(text: str) -> str:
    read_tuning(text)
    return text


def read_tuning(text: str) -> Tuning:
    try:
        return load_tuning(text)
    except TuningError as error:
        raise argparse.ArgumentTypeError(str(error)) from error


def wav_path(text: str) -> Path:
    """The path of a WAV file to be written in a folder that is there."""
    path = Path(text)
    if path.suffix.lower() != ".wav":
        raise argparse.ArgumentTypeError(f"{text!r} should end in .wav: that is what is written")
    if not path.parent.is_dir():
        raise argparse.ArgumentTypeError(f"there is no folder {path.parent}; make it first")
    return path


def add_tradition(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--tradition",
        metavar="FILE",
        type=Path,
        help="a teacher's word on ragas, talas and stages, which stands above what is known here",
    )


def tradition_of(options: argparse.Namespace) -> str:
    """The teacher's word that was given, if any. Raises RagaError."""
    return "" if options.tradition is None else load_tradition(options.tradition)
