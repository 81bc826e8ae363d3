"""Phrases of the ragas that are offered: lines of sargam of which one sounds."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from quizzes.ragas import ragas
from screens.fault_words import Told, words_of
from screens.form_parts import FormPart
from screens.form_rows import LinesPart
from words import say, to_say

NEVER_RIGHT = to_say("Without a phrase it is offered, and never right.")


class PhrasesPart(FormPart):
    """One list of lines for each raga of `among`; `on_hear` is sent with a line to be played."""

    __events__ = ("on_hear",)
    fields = ("phrases",)

    def __init__(self, tradition: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._ragas = ragas(tradition)
        self._phrases: dict[str, Any] = {}
        self._lists: dict[str, LinesPart] = {}

    def show(self, values: dict[str, Any]) -> None:
        phrases, among = values.get("phrases", {}), values.get("among", [])
        self._phrases = phrases if isinstance(phrases, dict) else {}
        among = among if isinstance(among, list) else []
        among = [raga for raga in among if isinstance(raga, str)]
        wanted = list(dict.fromkeys([*among, *self._phrases]))
        if list(self._lists) != wanted:
            self._lists = {raga: self._list(raga) for raga in wanted}
            self.ids.inner.clear_widgets()
            self.put_in(*self._lists.values())
        for raga, lines in self._lists.items():
            lines.show(self._phrases)
            lines.hint = say(NEVER_RIGHT) if self._phrases and not self._phrases.get(raga) else ""

    def _list(self, raga: str) -> LinesPart:
        name = say(self._ragas[raga].name) if raga in self._ragas else raga
        lines = LinesPart(raga, title=name, role="body")
        lines.bind(
            on_change=lambda _, values: self._put(values),
            on_hear=lambda _, text: self.dispatch("on_hear", text),
        )
        return lines

    def _put(self, values: dict[str, Any]) -> None:
        phrases = {**self._phrases, **values}
        kept = {raga: lines for raga, lines in phrases.items() if lines}
        self.change(phrases=kept or None)

    def tell(self, faults: Sequence[Told]) -> None:
        of: dict[str, list[Told]] = {raga: [] for raga in self._lists}
        rest = []
        for fault in faults:
            raga, _, number = fault.inner.rpartition(" ")
            if not number.isdecimal():
                raga, number = fault.inner, "0"
            if raga in of:
                of[raga].append(Told(raga, int(number), "", fault.words))
            else:
                rest.append(fault)
        for raga, lines in self._lists.items():
            lines.tell(of[raga])
        self.fault = words_of(rest)

    def on_hear(self, text: str) -> None:
        """A line is to be played."""
