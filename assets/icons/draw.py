"""Draws kaan.png: three curved frets, which are also an ear and a wave, crossed by one string.

Run it by hand after a change: `.venv/bin/python assets/icons/draw.py`. Only numpy is needed.
"""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

import numpy as np

SIZE = 256
FINE = 4
"""Each pixel is the mean of so many by so many."""

WOOD, EDGE, BRASS, STEEL = "3A241B", "1D1310", "DDAA4B", "F5EBDA"


def colour(text: str) -> np.ndarray:
    return np.array([int(text[i : i + 2], 16) / 255 for i in (0, 2, 4)])


def draw() -> np.ndarray:
    """The icon as float RGBA of shape (SIZE, SIZE, 4), values 0 to 1."""
    axis = (np.arange(SIZE * FINE) + 0.5) / (SIZE * FINE) * 2.0 - 1.0
    x, y = np.meshgrid(axis, axis)
    image = np.zeros((*x.shape, 4))
    # A plate with round corners, darker towards its edges as a neck is.
    corner = np.hypot(np.maximum(np.abs(x) - 0.68, 0), np.maximum(np.abs(y) - 0.68, 0))
    plate = corner < 0.28
    light = (1.0 - 0.75 * np.abs(y) ** 3)[..., None]
    image[..., :3] = colour(EDGE) + (colour(WOOD) - colour(EDGE)) * light
    image[..., 3] = plate
    # Frets: arcs about a point at the left, each with a thin light on its inner side.
    for radius in (0.52, 0.95, 1.38):
        away = np.hypot(x + 0.86, y)
        arc = (np.abs(away - radius) < 0.052) & (np.abs(y) < 0.74 * radius + 0.02) & plate
        image[arc, :3] = colour(BRASS)
        shine = (np.abs(away - radius + 0.02) < 0.012) & (np.abs(y) < 0.70 * radius) & plate
        image[shine, :3] = colour(BRASS) * 0.4 + 0.6 * np.array([1.0, 0.93, 0.78])
    string = (np.abs(y + 0.02) < 0.022) & plate
    image[string, :3] = colour(STEEL)
    return image.reshape(SIZE, FINE, SIZE, FINE, 4).mean(axis=(1, 3))


def png(image: np.ndarray) -> bytes:
    """A PNG file (RFC 2083) of float RGBA."""
    pixels = np.clip(np.round(image * 255), 0, 255).astype(np.uint8)
    rows = b"".join(b"\0" + row.tobytes() for row in pixels)

    def chunk(kind: bytes, data: bytes) -> bytes:
        check = zlib.crc32(kind + data)
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", check)

    head = struct.pack(">IIBBBBB", pixels.shape[1], pixels.shape[0], 8, 6, 0, 0, 0)
    body = zlib.compress(rows, 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


if __name__ == "__main__":
    Path(__file__).with_name("kaan.png").write_bytes(png(draw()))
