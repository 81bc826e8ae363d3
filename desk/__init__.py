"""Commands that need no window; one module each, with `add_to(subparsers)`."""

from desk import kinds, questions, sound, strokes

COMMANDS = (sound, strokes, questions, kinds)

__all__ = ["COMMANDS"]
