"""What today holds, in a few words a student reads before beginning."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Outlook:
    """`headline` says how long and what; each line is a skill and why it is there."""

    headline: str
    lines: tuple[tuple[str, str], ...]
