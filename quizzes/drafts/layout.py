"""How lines are laid out: indents, and which comments and blank lines belong to what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from quizzes.drafts.pieces import Field, Line, Piece, Section, is_blank


def indent_of(text: str) -> str:
    return text[: len(text) - len(text.lstrip(" \t"))]


def comment_of(field: Field) -> list[Line]:
    """What stays of a field's lines when it is taken out."""
    rest = field.text[field.end :].lstrip(" \t")
    return [indent_of(field.text) + rest] if rest.startswith("#") else []


def above_comments(body: Sequence[Line], at: int) -> int:
    """Where a field begins with the comments right above it."""
    while at and isinstance(body[at - 1], str) and not is_blank(body[at - 1]):
        at -= 1
    return at


def below_comments(body: Sequence[Line], at: int) -> int:
    """Where a field ends with the comments that go on below it, further in than it begins."""
    field = body[at]
    inward = len(indent_of(field.text)) if isinstance(field, Field) else 0
    at += 1
    while at < len(body):
        line = body[at]
        if isinstance(line, Field) or is_blank(line) or len(indent_of(line)) <= inward:
            break
        at += 1
    return at


def is_set_off(piece: Piece) -> bool:
    return isinstance(piece, Section) and bool(piece.lead) and is_blank(piece.lead[0])


def set_off(piece: Piece, newline: str) -> Piece:
    if isinstance(piece, Section) and not is_set_off(piece):
        return replace(piece, lead=(newline, *piece.lead))
    return piece


def trimmed(lead: tuple[str, ...]) -> tuple[str, ...]:
    while lead and is_blank(lead[0]):
        lead = lead[1:]
    return lead
