"""Finds all that is said: every text handed to `say` and its like in the code, and where.

For translators and for the tests; the app never needs it. What lies in data, such as the name of a
raga, is told by who reads that data, and is added by who gathers.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
FOLDERS = ("words", "audio", "quizzes", "scheduler", "practice", "screens", "desk")
SAYING = {"say": (0,), "to_say": (0,), "say_as": (0, 1), "say_many": (0, 1), "counted": (1, 2)}
"""Which arguments hold what is said. Of `say_as` the first is what it means."""
_IN_KV = re.compile(r"(?<![\w.])(say|say_as|say_many|to_say)\(")


@dataclass(frozen=True, slots=True)
class Message:
    """What a catalogue holds: the text, its plural where it has one, and what it means where one
    English text has two meanings."""

    text: str
    many: str = ""
    meaning: str = ""


def messages(root: Path = ROOT) -> dict[Message, list[str]]:
    """All messages of the code and where they are said, as "quizzes/names.py:40"."""
    found: dict[Message, list[str]] = {}
    for folder in FOLDERS:
        for path in sorted((root / folder).rglob("*.py")):
            _keep(found, path, root, _said(ast.parse(path.read_text("utf-8"))))
        for path in sorted((root / folder).rglob("*.kv")):
            _keep(found, path, root, _said_in_kv(path.read_text("utf-8")))
    return found


def _keep(
    found: dict[Message, list[str]], path: Path, root: Path, said: Iterator[tuple[int, Message]]
) -> None:
    for line, message in said:
        found.setdefault(message, []).append(f"{path.relative_to(root).as_posix()}:{line}")


def _said(tree: ast.AST) -> Iterator[tuple[int, Message]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            message = _message(node.func.id, node.args)
            if message is not None:
                yield node.lineno, message


def _message(saying: str, arguments: list[ast.expr]) -> Message | None:
    """None where it is no saying, or what is said is not written there."""
    texts = []
    for at in SAYING.get(saying, ()):
        held = arguments[at] if at < len(arguments) else None
        if not isinstance(held, ast.Constant) or not isinstance(held.value, str):
            return None
        texts.append(held.value)
    if not texts:
        return None
    if saying == "say_as":
        return Message(texts[1], meaning=texts[0])
    return Message(*texts)


def _said_in_kv(text: str) -> Iterator[tuple[int, Message]]:
    for match in _IN_KV.finditer(text):
        call = _call(text[match.start() :])
        if call is not None:
            message = _message(match.group(1), call.args)
            if message is not None:
                yield text.count("\n", 0, match.start()) + 1, message


def _call(text: str) -> ast.Call | None:
    """The call that a text begins with: up to the first parenthesis where it is whole."""
    for match in re.finditer(r"\)", text):
        try:
            expression = ast.parse(text[: match.end()], mode="eval").body
        except SyntaxError:
            continue
        return expression if isinstance(expression, ast.Call) else None
    return None


def parts_of(text: str) -> set[str]:
    """The named parts of a text: {"low", "high"}."""
    return set(re.findall(r"\{(\w+)[^{}]*\}", text))


def faults(message: Message, translated: Mapping[int, str]) -> Iterator[str]:
    """What is wrong with a translation; `translated` holds its forms, 0 for one and 1 for many."""
    forms = (message.text, message.many or message.text)
    wanted = parts_of(forms[0]) | parts_of(forms[1])
    for form, text in translated.items():
        if not text.strip():
            yield "a form is empty"
        if text.count("{") != text.count("}"):
            yield "a brace has no partner"
        for part in sorted(parts_of(text) - wanted):
            yield f"{{{part}}} is not a part of it; it has {', '.join(sorted(wanted)) or 'none'}"
        for part in sorted(parts_of(forms[min(form, 1)]) - parts_of(text) - {"number", "count"}):
            yield f"{{{part}}} is missing"
