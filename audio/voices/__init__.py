"""Voices: what turns a stroke or a drone into sound."""
