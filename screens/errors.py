"""Errors of the screens.

ScreensError
└── WritingError    what was typed is no answer to the question
"""

from __future__ import annotations


class ScreensError(Exception):
    """Root of all errors of this package."""


class WritingError(ScreensError):
    """What was typed is no answer to the question; the message says what to type instead."""
