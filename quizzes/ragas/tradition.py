"""A teacher's word on ragas: it stands above what the files of the ragas say, and adds ragas.

A tradition is TOML text, one table a raga, named by its id. A field is taught otherwise by giving
it, and what is only known from memory is confirmed by naming it:

    [durga]
    vadi = "D"
    samvadi = "R"
    first_string = "m"
    confirmed = ["nyas", "hours"]

Fields: name, also (other names), about, season; notes, occasional, aroha, avaroha, vadi (with
samvadi, in one text or in a field of its own beside it), nyas, andolan, glide, register, gait,
mood, hours, that; phrases and forbidden (lists of lines of sargam), required (tables with swara and
turns), near (ids), variant; first_string (of the tanpura: P, m or N). Each may stand in a table of
its own as well, as the files of the ragas have it. `confirmed` names any of CONFIRMED. What the
teacher has said is sure, and what others teach of that field no longer counts. A phrase with a
swara that the teacher leaves out is left out with it.

A table with an id that is not known here is a raga of the teacher's own. It needs name, notes,
aroha, avaroha, vadi, samvadi and phrases; of what is not told nothing is asked.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from threading import Lock
from types import MappingProxyType

from quizzes.errors import RagaError
from quizzes.fields import Table, table_of
from quizzes.names import listed, plain_name
from quizzes.ragas.agreeing import NEEDED
from quizzes.ragas.raga import Raga
from quizzes.ragas.reading import load_ragas
from quizzes.ragas.taught import CONFIRMED as CONFIRMED
from quizzes.ragas.taught import FIRST_STRINGS as FIRST_STRINGS
from quizzes.ragas.taught import SOURCE as SOURCE
from quizzes.ragas.taught import TEACHER as TEACHER
from quizzes.ragas.taught import taught

BESIDE = ("tala", "layakari", "stage", "order", "layout", "fit")
"""Tables of a teacher's file that are not of ragas; see `quizzes.tradition`."""
MOST_ADDED = 40
"""So many ragas of the teacher's own at most: working out what is asked of them takes time."""
_ID = re.compile(r"[a-z][a-z0-9_]{0,39}")


@lru_cache(maxsize=8)
def ragas(tradition: str = "") -> Mapping[str, Raga]:
    """All ragas as shipped, or as the text of a tradition has them, its own ones last.

    Raises RagaError.
    """
    shipped = _shipped()
    return read_tradition(tradition, shipped, Path("tradition")) if tradition else shipped


@lru_cache(maxsize=1)
def _shipped() -> Mapping[str, Raga]:
    return load_ragas()


def changed(tradition: str) -> tuple[Raga, ...]:
    """The ragas of which a teacher has said something, the teacher's own among them."""
    shipped = _shipped()
    return tuple(raga for raga in ragas(tradition).values() if raga is not shipped.get(raga.id))


def read_tradition(text: str, known: Mapping[str, Raga], path: Path) -> Mapping[str, Raga]:
    """The ragas with a teacher's word above them; `path` is for messages."""
    return read_told(table_of(text, path, error=RagaError), known)


def read_told(whole: Table, known: Mapping[str, Raga]) -> Mapping[str, Raga]:
    """The same from the table of a whole file."""
    told = [name for name in whole.values if name not in BESIDE]
    found, added = dict(known), 0
    for name in told:
        if name not in known:
            _check_new(whole, name, known)
            added += 1
            if added > MOST_ADDED:
                said = f"is one raga too many; {MOST_ADDED} may be added, leave this one out"
                raise whole.fault(name, said)
        found[name] = _taught(whole.inner(name), known.get(name), {*known, *told})
    for name in told:
        _check_names(whole.inner(name), found[name], found.values())
    return MappingProxyType(_named_once(found, [found[name] for name in told]))


def _taught(table: Table, raga: Raga | None, known: Collection[str]) -> Raga:
    """As before where nothing is said otherwise: much is reckoned from a raga, and kept."""
    key = (table.heading, raga, repr(table.values), tuple(sorted(known)))
    with _ONE_AT_A_TIME:
        found = _TAUGHT.pop(key, None) or taught(table, raga, known)
        _TAUGHT[key] = found
        while len(_TAUGHT) > MOST_KEPT:
            del _TAUGHT[next(iter(_TAUGHT))]
    return found


_TAUGHT: dict[tuple[str, Raga | None, str, tuple[str, ...]], Raga] = {}
"""What was read last, the latest at the end."""
MOST_KEPT = 256
_ONE_AT_A_TIME = Lock()


def _check_new(whole: Table, name: str, known: Mapping[str, Raga]) -> None:
    """A table that bears no known id makes a raga of the teacher's own, or is misspelt."""
    value = whole.values[name]
    if isinstance(value, dict) and "name" in value:
        if _ID.fullmatch(name):
            return
        said = "should be of small letters, figures and _, 40 at most, such as [my_raga]"
        raise whole.fault(name, said)
    inside = next((one for one in value if one in known), "") if isinstance(value, dict) else ""
    if inside:
        said = f"is no raga; the table of a raga bears its id alone: [{inside}]"
        raise whole.fault(name, said)
    meant = [one.id for one in known.values() if plain_name(name) in map(plain_name, names_of(one))]
    guess = f"did you mean {listed(meant, 'or')}? " if meant else ""
    raise whole.fault(
        name,
        f"is no raga known here; {guess}`main.py raga` lists them by id, and one that is new "
        f"needs {listed(['name', *NEEDED])}",
    )


def names_of(raga: Raga) -> Iterator[str]:
    yield from (raga.id, raga.name, *raga.also)


def _check_names(table: Table, raga: Raga, ragas: Collection[Raga]) -> None:
    """One name cannot mean two ragas: who is asked for one of them could not tell which."""
    said = {"name": (raga.name,), "also": raga.also}
    for field in said.keys() & table.values.keys():
        for other in ragas:
            for name in said[field]:
                if other.id != raga.id and plain_name(name) == plain_name(other.name):
                    raise table.fault(
                        field,
                        f"{name!r} is the name of {other.id}, too; "
                        "give that another name as well, or leave this one out",
                        value=name,
                    )


def _named_once(found: Mapping[str, Raga], told: Collection[Raga]) -> dict[str, Raga]:
    """Without the teacher's names among the other names of ragas: each means one raga."""
    meant = {plain_name(name): raga.id for raga in told for name in raga.also}
    meant |= {plain_name(raga.name): raga.id for raga in told}
    named = {}
    for one, raga in found.items():
        also = tuple(name for name in raga.also if meant.get(plain_name(name), one) == one)
        named[one] = raga if also == raga.also else replace(raga, also=also)
    return named
