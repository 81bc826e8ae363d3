"""Unpacks FLAC, MP3 or Ogg Vorbis to its standard output, in a process of its own.

Run as a script: `unpacking.py FILE CHANNELS RATE_HZ MOST_FRAMES`; it writes interleaved float32 as
this machine has them, at most so many frames. A file made to harm a decoder then harms this
process alone, which holds nothing. It imports none of ours, so that it starts at once.
"""

from __future__ import annotations

import sys
from contextlib import suppress

MOST_MEMORY = 1 << 30
"""Bytes of address space, where the system can hold a process to it."""
DAMAGED = 3
"""What it returns for a file that cannot be unpacked."""
FRAMES_AT_ONCE = 8192


def main(path: str, channels: int, rate_hz: int, most_frames: int) -> int:
    import miniaudio

    with suppress(ImportError, OSError, ValueError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    with open(path, "rb") as file:
        data = file.read()
    left = most_frames
    try:
        stream = miniaudio.stream_memory(
            data, miniaudio.SampleFormat.FLOAT32, channels, rate_hz, FRAMES_AT_ONCE
        )
        for samples in stream:
            kept = samples[: left * channels]
            sys.stdout.buffer.write(kept.tobytes())
            left -= len(kept) // channels
            if left <= 0:
                break
    except (miniaudio.MiniaudioError, MemoryError):
        return DAMAGED
    sys.stdout.buffer.flush()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], *map(int, sys.argv[2:5])))
