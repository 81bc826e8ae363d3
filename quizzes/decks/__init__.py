"""Decks: a teacher's own questions, in files that a person can read and write."""
