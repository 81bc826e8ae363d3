"""Commands that need no window; one module each, with `add_to(subparsers)`."""

from desk import kinds, questions, raga, sound, stages, strokes, tala

COMMANDS = (sound, strokes, raga, tala, stages, questions, kinds)

__all__ = ["COMMANDS"]
