"""Sheets of 80 columns on which each fact stands beside its source: what all of them share."""

from __future__ import annotations

from textwrap import wrap

WIDTH = 80
HEAD, SAID = 14, 33
"""Columns of what it is and of what is said of it; the rest tells from where that is."""
MARGIN = "  "
TEACHER = "T"
"""How a teacher's word is marked."""


def row(head: str, said: str, known: str) -> str:
    """One fact in three columns, on as many lines as the longest needs."""
    rest = WIDTH - len(MARGIN) - HEAD - SAID
    columns = [
        [head],
        wrap(said, SAID - 2),
        wrap(known, rest, subsequent_indent="   ", break_on_hyphens=False),
    ]
    lines = []
    for line in range(max(map(len, columns))):
        cells = [column[line] if line < len(column) else "" for column in columns]
        lines.append(f"{MARGIN}{cells[0]:{HEAD}}{cells[1]:{SAID}}{cells[2]}".rstrip())
    return "\n".join(lines)


def paragraph(text: str, *, head: str = "", deep: int = 0) -> str:
    """A text as wide as the sheet, `deep` columns from its edge and behind its head."""
    lead = f"{head:{deep}}"
    return "\n".join(wrap(text, WIDTH, initial_indent=lead, subsequent_indent=" " * deep))


def legend(first: str, files: str) -> str:
    """What the letters beside the facts mean; `first` and `files` are the sheet's own words."""
    return f"""\
{first}{MARGIN}A  sources agree that know nothing of one another
{MARGIN}B  one source says so
{MARGIN}C  common practice, from memory; not asked where it might be wrong
{MARGIN}T  your teacher's word, above all others
{MARGIN}{files}"""
