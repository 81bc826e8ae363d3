"""What every draft of a file has from the text that it edits: what is wrong, undo and redo."""

from __future__ import annotations

from quizzes.drafts.draft import TextDraft


class Undoable:
    """Stands before a draft that edits `_draft`."""

    _draft: TextDraft

    @property
    def wrong(self) -> str:
        """Why the text is no TOML; "" where it is."""
        return self._draft.wrong

    @property
    def can_undo(self) -> bool:
        return self._draft.can_undo

    @property
    def can_redo(self) -> bool:
        return self._draft.can_redo

    def undo(self) -> bool:
        """Back before the last edit; whether there was one."""
        return self._draft.undo()

    def redo(self) -> bool:
        """Do again what was undone last; whether there was anything."""
        return self._draft.redo()
