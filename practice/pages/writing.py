"""Writing a paper into files: one PDF, or a PNG for each of its sheets."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from audio.wav import appearing_whole
from practice.errors import PageError
from practice.pages.sheets import Paper
from quizzes.ids import names_file, slug

PDF, PNG = ENDINGS = (".pdf", ".png")


def write_paper(paper: Paper, path: Path, *, made: datetime) -> tuple[Path, ...]:
    """Write the file, in the form that its ending tells, and give what was written. Files appear
    only when they are whole. Raises OSError, and PageError where the page cannot be set."""
    paths = files_of(paper, path)
    try:
        contents = _contents(paper, path, made)
    except OSError:
        raise
    except Exception as error:  # of libraries, which say nowhere what they may raise
        other = "a picture" if path.suffix.lower() == PDF else "a PDF"
        raise PageError(
            f"{path.name} cannot be set ({type(error).__name__}: {error}); write {other} instead"
        ) from error
    return tuple(map(_put, paths, contents))


def _contents(paper: Paper, path: Path, made: datetime) -> list[bytes]:
    """What each file is to hold."""
    if path.suffix.lower() == PDF:
        from practice.pages.pdf import pdf_of  # takes a while, and few need it

        return [pdf_of(paper, made=made)]
    from practice.pages.png import png_of

    return [png_of(paper, number) for number in range(len(paper.sheets))]


def files_of(paper: Paper, path: Path) -> tuple[Path, ...]:
    """The files that are written for a path: of several sheets each PNG bears its number."""
    count = len(paper.sheets)
    if path.suffix.lower() == PDF or count == 1:
        return (path,)
    return tuple(path.with_stem(f"{path.stem}-{number}") for number in range(1, count + 1))


def paper_name(name: str, made: datetime, ending: str) -> str:
    """`mira-2026-11-29.pdf`: what a file is called for a student of this name; `page-…` where the
    name has no letters that every system takes."""
    stem = slug(name)
    return f"{stem if names_file(stem) else 'page'}-{made:%Y-%m-%d}{ending}"


def _put(path: Path, content: bytes) -> Path:
    with appearing_whole(path) as file:
        file.write(content)
    return path
