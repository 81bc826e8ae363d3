"""The catalogues of all languages beside what is said in the code and in data."""

from __future__ import annotations

from pathlib import Path

import polib

from quizzes.said import said_in_data
from words import catalogue
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
    found: list[str] = []
    for path in sorted((catalogue.WORDS / language).glob("*.po")):
        for entry in _entries(path, found):
            message = Message(entry.msgid, entry.msgid_plural, entry.msgctxt or "")
            where = f"{path.relative_to(catalogue.WORDS)}, line {entry.linenum}"
            forms = dict(entry.msgstr_plural) or {0: entry.msgstr}
            found += [f"{where}: {entry.msgid!r}: {fault}" for fault in faults(message, forms)]
            if entry.fuzzy:
                found.append(
                    f"{where}: {entry.msgid!r}: it is marked fuzzy, and so left in English"
                )
            if message in entries:
                first = ", line ".join(*entries[message].occurrences)
                found.append(f"{where}: {entry.msgid!r} is in {first}, too")
            entry.occurrences = [(path.name, str(entry.linenum))]
            entries[message] = entry
    return entries, found


def _entries(path: Path, found: list[str]) -> list[polib.POEntry]:
    """All of a file that are in use; none, and said why, where it cannot be read."""
    try:
        return [entry for entry in polib.pofile(str(path)) if not entry.obsolete]
    except (OSError, ValueError, LookupError) as error:
        found.append(f"{path.relative_to(catalogue.WORDS)} cannot be read: {error}")
        return []


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
