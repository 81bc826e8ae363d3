"""A teacher's tradition under edit: fact by fact, with everything else of the file kept.

draft = TraditionDraft(text)
fact = next(fact for fact in draft.raga("durga") if fact.title == "Vadi and samvadi")
draft.choose(fact, fact.others[0])      # as others teach it
draft.write(fact, "D R")                # in the teacher's own words
draft.take_back(fact)                   # as it is shipped
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from typing import Any

from quizzes.drafts import Order, TextDraft, Undoable
from quizzes.ids import slug
from quizzes.ragas.raga import Raga
from quizzes.ragas.tradition import BESIDE, ragas
from quizzes.stages.stage import Form
from quizzes.stages.tradition import form
from quizzes.talas.tala import Tala
from quizzes.talas.tradition import talas
from quizzes.teachable import of_ragas, of_stages, of_talas
from quizzes.teachable.fact import Fact, Path, Saying, values_of
from quizzes.teachable.of_stages import TURNED, PairFact
from quizzes.tradition import Words, read_words

ORDER: Order = {("order",): ("first", "then", "strength", "why")}
"""In which order a person who reads a file expects its fields."""


class TraditionDraft(Undoable):
    """A tradition's text while a teacher edits it; `file` is what it is called in messages.

    What is not whole, or wrong, stands in the file all the same; `words` says what is in force and
    what is wrong. Where the text is no TOML, `wrong` says so and editing raises QuizError.
    """

    def __init__(
        self,
        text: str,
        file: str = "tradition.toml",
        *,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self.file = file
        self._draft = TextDraft(text, file, order=ORDER, clock=clock)
        self._words: tuple[str, Words] = ("", Words(""))
        self._whole: tuple[str, Any] = ("", {})

    @property
    def text(self) -> str:
        return self._draft.text

    def words(self) -> Words:
        """What of it is in force, and all that is wrong."""
        if self._words[0] != self.text:
            self._words = (self.text, read_words(self.text, self.file))
        return self._words[1]

    # What stands there.

    def ragas(self) -> Mapping[str, Raga]:
        """As they would be asked."""
        return ragas(self.words().text)

    def talas(self) -> Mapping[str, Tala]:
        return talas(self.words().text)

    def form(self) -> Form:
        return form(self.words().text)

    def own_ragas(self) -> tuple[tuple[str, str], ...]:
        """Ids and names of the ragas that the teacher adds, whole or not."""
        shipped = ragas()
        found = [name for name in self.said() if name not in shipped and name not in BESIDE]
        return tuple((one, str(self.said(one).get("name", one))) for one in found)

    def said(self, *path: str | int) -> Mapping[str, Any]:
        """What the file has in a table; nothing where there is none."""
        if self._whole[0] != self.text:
            self._whole = (self.text, {} if self.wrong else self._draft.value())
        found: Any = self._whole[1]
        for key in path:
            found = found.get(key) if isinstance(found, dict) else None
        return found if isinstance(found, dict) else {}

    def raga(self, raga: str) -> tuple[Fact, ...]:
        """The facts of a raga as they stand now."""
        return of_ragas.facts_of(raga, self.said(raga), self.ragas())

    def tala(self, tala: str) -> tuple[Fact, ...]:
        """The facts of a tala as they stand now."""
        return of_talas.facts_of(tala, self.said("tala", tala), self.talas())

    def stage(self, stage: str) -> tuple[Fact, ...]:
        """The facts of a stage as they stand now."""
        return of_stages.facts_of(stage, self.said("stage", stage), self.form())

    def pairs(self, stage: str) -> tuple[PairFact, ...]:
        """The pairs in which a stage stands, as they are now."""
        return of_stages.pairs_of(stage, self.form())

    # Edits.

    def write(self, fact: Fact, written: str) -> None:
        """Let a fact be as it is written; nothing written takes it back."""
        self._put(fact, values_of(fact, written))

    def choose(self, fact: Fact, saying: Saying) -> None:
        """Let a fact be as others teach it."""
        self._put(fact, {**dict.fromkeys(fact.fields), **saying.values})

    def confirm(self, fact: Fact) -> None:
        """Let what is from memory be sure, as it stands."""
        confirmed = self._confirmed(fact.table)
        self._draft.put(fact.table, confirmed=[*dict.fromkeys((*confirmed, fact.confirm))])

    def take_back(self, fact: Fact) -> None:
        """Let a fact be as it is shipped again."""
        name = "scale" if fact.fields[0] in ("aroha", "avaroha") else fact.fields[0]
        name = of_talas.CONFIRMED.get(name, name) if fact.table[0] == "tala" else name
        kept = [each for each in self._confirmed(fact.table) if each != name]
        self._put(fact, {**dict.fromkeys(fact.fields), "confirmed": kept or None})

    def _confirmed(self, table: Path) -> list[str]:
        found = self.said(*table).get("confirmed", [])
        return [each for each in found if isinstance(each, str)] if isinstance(found, list) else []

    def _put(self, fact: Fact, values: Mapping[str, Any]) -> None:
        said, new = self.said(*fact.table), dict(values)
        if fact.fields[0] in ("aroha", "avaroha") and isinstance(said.get("scale"), dict):
            ways = {way: said["scale"].get(way) for way in ("aroha", "avaroha")}
            new = {"scale": None, **ways, **new}
        with self._draft.as_one():
            if said or any(value is not None for value in new.values()):
                self._draft.put(fact.table, new)
            self._tidy(fact.table)

    def _tidy(self, table: Path) -> None:
        """Take a table out in which nothing is left, not even a comment."""
        while table and self._draft.value(*table) == {}:
            alone = self._draft.alone(*table)
            if alone is None or "#" in alone[0].split("\n", alone[1])[-1]:
                return
            self._draft.put(table[:-1], {str(table[-1]): None})
            table = table[:-1]

    def add_raga(self, name: str) -> str:
        """A raga of the teacher's own, of which nothing but its name is told yet; its id."""
        wished = slug(name, 36).replace("-", "_") or "raga"
        wished = wished if wished[0].isalpha() else f"raga_{wished}"[:36]
        taken = {*ragas(), *BESIDE, *self.said()}
        found, number = wished, 2
        while found in taken:
            found, number = f"{wished}_{number}", number + 1
        self._draft.put((found,), name=name)
        return found

    def remove(self, *table: str) -> None:
        """Take all that is said in a table back."""
        with self._draft.as_one():
            self._draft.put(table[:-1], {table[-1]: None})
            self._tidy(table[:-1])

    def set_pair(self, pair: PairFact, strength: str) -> None:
        """Let two stages come in their order, or turned, as strictly as that."""
        two = (pair.then, pair.first) if strength == TURNED else (pair.first, pair.then)
        values = {"first": two[0], "then": two[1]}
        values["strength"] = "usual" if strength == TURNED else strength
        at = self._place_of(pair)
        if at is None:
            self._draft.add(("order",), values)
        else:
            self._draft.put(("order", at), values)

    def take_back_pair(self, pair: PairFact) -> None:
        """Let two stages come as they are shipped again."""
        at = self._place_of(pair)
        if at is not None:
            self._draft.remove(("order",), at)

    def _place_of(self, pair: PairFact) -> int | None:
        """Where in the file the teacher's word on these two stands."""
        told = self._draft.value("order")
        for at, each in enumerate(told if isinstance(told, list) else []):
            if isinstance(each, dict) and {each.get("first"), each.get("then")} == {
                pair.first,
                pair.then,
            }:
                return at
        return None
