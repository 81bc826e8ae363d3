"""All commands; read in only where one may be wanted, since a window need not wait for them."""

from desk import (
    deck,
    kinds,
    leave_out,
    lesson_page,
    log,
    palta,
    phrases,
    predictions,
    questions,
    raga,
    sound,
    stages,
    strokes,
    tala,
    words,
)

COMMANDS = (
    sound,
    strokes,
    raga,
    tala,
    palta,
    stages,
    questions,
    kinds,
    predictions,
    leave_out,
    deck,
    log,
    phrases,
    lesson_page,
    words,
)
