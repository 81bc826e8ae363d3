"""Which raga is meant by a name, in whichever spelling it comes.

First what is called just so, then what is spelled nearly so, then what has all words of the name in
its own. The first of these that finds any decides; a raga's own name goes before what it is also
called.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from desk.unknown import near_ids, unknown
from desk.writing import refuse
from quizzes.names import listed
from quizzes.ragas import Raga

RAGA = frozenset({"rag", "raga", "ragini"})
"""What may stand beside a name, as `_word` has it."""
SPELLED_ALIKE = (("ee", "i"), ("oo", "u"), ("iy", "i"), ("w", "v"))
"""What is written for one sound (common practice)."""

Names = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Meant:
    """The ragas that a name may mean, and whether it is the very name of theirs."""

    ragas: tuple[Raga, ...]
    exactly: bool = False


def raga_named(name: str, known: Mapping[str, Raga]) -> Raga | None:
    """The raga that is meant, said where it is called otherwise; None, and why, where none is."""
    meant = meant_by(name, known)
    if len(meant.ragas) != 1:
        refuse(_unknown(name, meant, known))
        return None
    (raga,) = meant.ragas
    if not meant.exactly:
        print(f"{name!r} is taken for {raga.name} ({raga.id}).", file=sys.stderr)
    return raga


def _unknown(name: str, meant: Meant, known: Mapping[str, Raga]) -> str:
    if meant.ragas:
        several = listed([raga.id for raga in meant.ragas], "or")
        return f"{name!r} may be {several}; say which."
    return unknown(name, "raga", "`main.py raga` lists all", near_names(name, known))


def meant_by(name: str, known: Mapping[str, Raga]) -> Meant:
    """What is meant: one raga where that is evident, several where it might be any of them."""
    words = _words(name)
    for names_of in (_own_names, _other_names):
        found = _where(known, names_of, lambda each: _plain(each) == _plain(name))
        if found:
            return Meant(found, exactly=True)
    for names_of in (_own_names, _other_names):
        found = _where(known, names_of, lambda each: "".join(_words(each)) == "".join(words))
        if found:
            return Meant(found)
    return Meant(
        _where(known, _all_names, lambda each: bool(words) and {*words} <= {*_words(each)})
    )


def near_names(name: str, known: Mapping[str, Raga]) -> list[str]:
    """Ids of ragas whose names are most like one that none has."""
    names = {_plain(each): raga.id for raga in known.values() for each in _all_names(raga)}
    return near_ids(_plain(name), names)


def _where(
    known: Mapping[str, Raga], names_of: Callable[[Raga], Names], fits: Callable[[str], bool]
) -> tuple[Raga, ...]:
    return tuple(raga for raga in known.values() if any(map(fits, names_of(raga))))


def _own_names(raga: Raga) -> Names:
    return raga.id, raga.name


def _other_names(raga: Raga) -> Names:
    return raga.also


def _all_names(raga: Raga) -> Names:
    return (*_own_names(raga), *raga.also)


def _plain(name: str) -> str:
    return "".join(letter for letter in name.lower() if letter.isalnum())


def _words(name: str) -> tuple[str, ...]:
    """The words of a name in one spelling, but for that it is a raga."""
    words = map(_word, re.findall(r"[^\W_]+", name.lower()))
    return tuple(word for word in words if word not in RAGA)


def _word(word: str) -> str:
    """`bhupali` for `bhoopali`, `mian` for `miyan`; no letter doubled."""
    for written, sound in SPELLED_ALIKE:
        word = word.replace(written, sound)
    return re.sub(r"(.)\1+", r"\1", word)
