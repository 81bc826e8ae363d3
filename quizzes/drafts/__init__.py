"""Drafts: TOML texts under edit; comments, order and quoting of a person's file survive."""

from quizzes.drafts.draft import DraftError, TextDraft
from quizzes.drafts.listing import ListDraft
from quizzes.drafts.pieces import Path
from quizzes.drafts.tables import Order
from quizzes.drafts.undoable import Undoable

__all__ = ["DraftError", "ListDraft", "Order", "Path", "TextDraft", "Undoable"]
