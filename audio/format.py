"""The one form that sound has between the parts: mono float32 blocks in [-1, 1] at this rate."""

from __future__ import annotations

SAMPLE_RATE = 44_100
"""Frames a second, everywhere."""

BLOCK_FRAMES = 4_096
"""Usual length of one block of a cue: 93 ms."""
