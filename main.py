"""Kaan: opens the app; `main.py COMMAND` does desk work without a window."""

from __future__ import annotations

import argparse
import gc
import os
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

if __name__ == "__main__":
    # What is read in now stays to the end. To look through it for garbage again and again takes a
    # tenth of the time until the first frame. `settle` ends this.
    gc.disable()

from audio.errors import AudioError
from desk.options import add_student, home_of, student_of, whole_between
from practice import Mode, ModeError, Practice, PracticeError
from practice.lesson import read_lesson
from practice.modes import MAY_BE
from practice.settings import LEAST_MINUTES, MOST_MINUTES
from practice.students import Students
from quizzes import QuizError
from quizzes.courses import courses
from scheduler import SchedulerError
from screens.start import prepare, settle

OUR_ERRORS = (AudioError, QuizError, PracticeError, SchedulerError)

NO_WINDOW = (
    "No window can be opened here; `{program} --text` gives the same practice in the terminal."
)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the app or a command; the exit code is 0 when all went well."""
    given = sys.argv[1:] if arguments is None else arguments
    options = read_arguments(with_commands=bool(given)).parse_args(given)
    try:
        if not (options.command or options.gallery or options.text):
            return open_window(options)
        settle()
        if options.command is not None:
            return int(options.run(options))
        return open_gallery() if options.gallery else practise_in_terminal(options)
    except OUR_ERRORS as error:
        print(error, file=sys.stderr)
        return 1
    except BrokenPipeError:
        # Who read what we write has had enough, as `head` has; nothing more may be written.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    except OSError as error:
        print(in_words(error), file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return 130


def in_words(error: Exception) -> str:
    """What went wrong, with the file's name where the system knows it."""
    if isinstance(error, OSError) and error.filename:
        return f"{error.filename}: {error.strerror or error}"
    return str(error)


def read_arguments(*, with_commands: bool = True) -> argparse.ArgumentParser:
    """What may be given. Who opens the window gives nothing, and waits for no command to be read
    in."""
    parser = argparse.ArgumentParser(
        prog="main.py",
        description="Kaan: daily practice for the ear of a sitar student. "
        "Without a command, the app opens.",
    )
    parser.add_argument(
        "--text", action="store_true", help="practise in the terminal, without a window"
    )
    parser.add_argument(
        "--gallery",
        action="store_true",
        help="for developers: show all that screens are made of, in all its states",
    )
    parser.add_argument(
        "--folder",
        type=Path,
        default=None,
        help="where settings and log are kept (KAAN_HOME, or your data folder, unless given)",
    )
    add_student(parser, "practise from now on as another student of this device")
    parser.add_argument(
        "--speaker", help="auto, stream, player, simpleaudio, wav or silence, for this time only"
    )
    parser.add_argument(
        "--minutes",
        type=whole_between(LEAST_MINUTES, MOST_MINUTES, "minutes"),
        help="how long to practise, for --text",
    )
    parser.add_argument(
        "--course",
        metavar="COURSE",
        help=f"take another course from now on: {', '.join(courses())}, or one of your own",
    )
    parser.add_argument(
        "--practise",
        metavar="MODE",
        default="day",
        help=f"what to practise, for --text: {MAY_BE} of the course, such as kind:gap "
        'or "these:gap:R-P:up gap:R-D:up"',
    )
    parser.add_argument(
        "--lesson",
        metavar="WHEN",
        help='when you have your lesson from now on: "thursday 17:30", with the ids of its ragas '
        'behind it if they are known; the next one on a day of its own: "2027-01-15 17:30"; or '
        '"none"',
    )
    parser.set_defaults(command=None)
    if with_commands:
        from desk.commands import COMMANDS

        commands = parser.add_subparsers(dest="command", metavar="COMMAND")
        for command in COMMANDS:
            command.add_to(commands)
    return parser


def practise_in_terminal(options: argparse.Namespace) -> int:
    from screens.text import TextDrill

    home = home_of(options)
    practice = Practice(
        student_folder(options), home=home, speaker=options.speaker, without_device="wav"
    )
    try:
        take_settings(practice, options)
        mode = mode_of(practice, options.practise)
        return TextDrill(practice, minutes=options.minutes, mode=mode).run()
    finally:
        practice.close()


def student_folder(options: argparse.Namespace) -> Path:
    """The folder of the student who was named, who then practises from now on, or of who was chosen
    last. Raises StudentsError."""
    students, student = Students(home_of(options)), student_of(options)
    folder = students.ready(student)
    if "student" in options:
        students.choose(folder)
    return folder


def take_settings(practice: Practice, options: argparse.Namespace) -> None:
    """Keep the course and the lesson that were given. Raises SettingsError."""
    settings = practice.settings
    if options.course is not None:
        settings = replace(settings, course=options.course)
    if options.lesson is not None:
        settings = read_lesson(options.lesson, settings, practice.given.tradition)
    if settings != practice.settings:
        practice.save(settings)


def mode_of(practice: Practice, text: str) -> Mode:
    """The mode that was asked for. Raises ModeError where it cannot be had, with the remedy."""
    mode = Mode.read(text)
    choice = practice.modes().choice(mode.id)
    if choice.first == "lesson":
        raise ModeError(f'{choice.name}: {choice.why_not} Here that is --lesson "thursday 17:30".')
    return mode


def has_display() -> bool:
    """Whether a window can be hoped for; on Linux Kivy would end the program without one."""
    if sys.platform != "linux" or "ANDROID_ARGUMENT" in os.environ:
        return True
    return bool(
        os.environ.get("DISPLAY")
        or os.environ.get("WAYLAND_DISPLAY")
        or os.environ.get("SDL_VIDEODRIVER") == "offscreen"
    )


def open_window(options: argparse.Namespace) -> int:
    if not has_display():
        print(NO_WINDOW.format(program="python main.py"), file=sys.stderr)
        return 1
    home = home_of(options)
    prepare(home)  # before Kivy is imported, which opens its window
    from screens.app import KaanApp
    from screens.refusal import RefusalApp

    try:
        practice, trouble = opened(options, home)
        take_settings(practice, options)
    except (*OUR_ERRORS, OSError) as error:
        settle()
        RefusalApp(in_words(error)).run()
        raise
    app = KaanApp(practice, trouble=trouble)
    try:
        app.run()
    finally:
        app.practice.close()
    return 0


def open_gallery() -> int:
    """Show the gallery until it is closed; Kivy's own files go with it."""
    if not has_display():
        print("No window can be opened here.", file=sys.stderr)
        return 1
    with tempfile.TemporaryDirectory(prefix="kaan-gallery-") as folder:
        prepare(Path(folder))
        from screens.gallery import GalleryApp

        GalleryApp().run()
    return 0


def opened(options: argparse.Namespace, home: Path) -> tuple[Practice, str]:
    """The practice of the student meant; where that cannot be opened and nobody was named, the
    first one's, and what is to be told of it. Raises as opening does."""
    students = Students(home)
    meant = students.current()
    try:
        practice = Practice(student_folder(options), home=home, speaker=options.speaker)
    except (*OUR_ERRORS, OSError) as error:
        if "student" in options or meant.folder == home:
            raise
        first = Practice(home, home=home, speaker=options.speaker)
        return first, f"{meant.words} cannot practise now: {in_words(error)}"
    return practice, students.trouble


if __name__ == "__main__":
    sys.exit(main())
