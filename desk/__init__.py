"""Commands that need no window; one module each, with `add_to(subparsers)`."""

from desk import kinds, questions, raga, sound, strokes

COMMANDS = (sound, strokes, raga, questions, kinds)

__all__ = ["COMMANDS"]
