"""What ragas, thats and jatis are called in the language in use, and what their files tell."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from quizzes.contours import THATS_BY_NAME
from quizzes.names import listed
from quizzes.ragas.raga import JATIS, Raga
from quizzes.ragas.tradition import ragas
from words import say


def raga_name(raga: Raga) -> str:
    """`Yaman`; a raga that only a teacher knows stays as the teacher wrote it."""
    return say(raga.name)


def raga_names(some: Iterable[Raga]) -> str:
    """`Yaman and Kedar`, in the order given."""
    return listed(list(map(raga_name, some)))


def that_name(that: str) -> str:
    """Of one of the ten thats: `Bilawal`."""
    return say(that)


def jati_name(jati: str) -> str:
    """`audav`."""
    return say(jati)


def about_raga(raga: Raga) -> str:
    """What its file tells of it in a few sentences."""
    return say(raga.about) if raga.about else ""


def as_it_turns(raga: Raga) -> str:
    """What is heard of a raga that was answered: `as Kedar turns`."""
    return say("as {raga} turns", raga=raga_name(raga))


def and_about(said: str, raga: Raga) -> str:
    """A sentence, and after it what the raga's file tells, if anything."""
    return f"{said} {about_raga(raga)}".strip()


def said_of_ragas() -> Iterator[tuple[str, str]]:
    """(where, text) of all that is said from the files of ragas."""
    for raga in ragas().values():
        for text in (raga.name, raga.about):
            if text:
                yield f"assets/ragas/{raga.id}.toml", text
    for that in THATS_BY_NAME:
        yield "quizzes/contours.py", that
    for jati in JATIS.values():
        yield "quizzes/ragas/raga.py", jati
