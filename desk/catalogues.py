"""The catalogues of all languages beside what is said in the code and in data."""

from __future__ import annotations

import polib

from quizzes.said import said_in_data
from words.catalogue import WORDS
from words.gathering import Message, faults, messages


def gathered() -> dict[Message, list[str]]:
    """All that is said, in the code and in data, and where."""
    said = messages()
    for where, text in said_in_data():
        said.setdefault(Message(text), []).append(where)
    return said


def read(language: str) -> tuple[dict[Message, polib.POEntry], list[str]]:
    """All entries of a language, and what is wrong with them, with file and line."""
    entries: dict[Message, polib.POEntry] = {}
    found = []
    for path in sorted((WORDS / language).glob("*.po")):
        for entry in polib.pofile(str(path)):
            message = Message(entry.msgid, entry.msgid_plural, entry.msgctxt or "")
            where = f"{path.relative_to(WORDS)}, line {entry.linenum}"
            forms = dict(entry.msgstr_plural) or {0: entry.msgstr}
            found += [f"{where}: {entry.msgid!r}: {fault}" for fault in faults(message, forms)]
            if message in entries:
                found.append(f"{where}: {entry.msgid!r} is in {entries[message].occurrences} too")
            entry.occurrences = [(path.name, str(entry.linenum))]
            entries[message] = entry
    return entries, found


def written(said: dict[Message, list[str]]) -> polib.POFile:
    """A gettext file of these messages, without translations."""
    whole = polib.POFile()
    whole.metadata = {
        "Content-Type": "text/plain; charset=UTF-8",
        "Content-Transfer-Encoding": "8bit",
        "Plural-Forms": "nplurals=2; plural=(n != 1);",
    }
    for message, places in said.items():
        entry = polib.POEntry(
            msgid=message.text,
            msgctxt=message.meaning or None,
            occurrences=[tuple(place.rsplit(":", 1)) for place in places if ":" in place],
        )
        if message.many:
            entry.msgid_plural, entry.msgstr_plural = message.many, {0: "", 1: ""}
        whole.append(entry)
    return whole
