"""The marks in the cells of a matrix: a tile for what was heard otherwise, a disc for what was
heard as it was, and numbers; each sort of them all together as one mesh of textured squares.

The larger a share, the larger its mark; hollow is what was asked too seldom to say much.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from typing import NamedTuple

import numpy as np
from kivy.graphics import Mesh
from kivy.graphics.texture import Texture
from numpy.typing import NDArray

from screens import theme
from screens.look import TextImage

PIXELS = 128
"""A mark is drawn once, so large, and shown smaller; a power of two, as its texture is."""
EDGE = 0.07
"""How broad the edge of a mark is, of its side."""
LEAST, MOST = 0.5, 0.94
"""The side of the smallest mark and of the largest, of a cell's."""
TRIANGLES = (0, 1, 2, 2, 3, 0)

Box = tuple[float, float, float, float]
"""x, y, width, height in pixels."""


class Mark(NamedTuple):
    """One sort of mark."""

    kind: str
    """ "tile" or "disc"."""
    hollow: bool


def mark_side(share: float, cell_px: float) -> float:
    """How large the mark of a share is drawn: its surface grows with the share."""
    return cell_px * float(np.sqrt(LEAST**2 + (MOST**2 - LEAST**2) * share))


def marks_mesh(mark: Mark, boxes: Iterable[Box]) -> Mesh:
    """All marks of one sort, to be drawn after a white colour."""
    return squares(((box, (0.0, 0.0, 1.0, 1.0)) for box in boxes), _drawn(mark, *_colours(mark)))


def squares(placed: Iterable[tuple[Box, Box]], texture: Texture) -> Mesh:
    """Boxes, each with the part of a texture that it shows: from and to, left to right and from the
    foot up, of 1."""
    vertices: list[float] = []
    indices: list[int] = []
    for (x, y, width, height), (left, foot, right, top) in placed:
        first = len(vertices) // 4
        indices += [first + at for at in TRIANGLES]
        vertices += [x, y, left, foot, x + width, y, right, foot]
        vertices += [x + width, y + height, right, top, x, y + height, left, top]
    return Mesh(vertices=vertices, indices=indices, mode="triangles", texture=texture)


def _colours(mark: Mark) -> tuple[theme.Colour, theme.Colour]:
    """Of its edge and its ground."""
    if mark.kind == "tile":
        return theme.OTHERWISE, theme.OTHERWISE_GROUND
    return theme.WAS, theme.WAS_GROUND


@cache
def _drawn(mark: Mark, edge: theme.Colour, ground: theme.Colour) -> Texture:
    inside = _inside(mark.kind)
    whole = np.clip(inside * PIXELS + 0.5, 0.0, 1.0)
    filled = np.clip((inside - EDGE) * PIXELS + 0.5, 0.0, 1.0)
    pixels = np.empty((PIXELS, PIXELS, 4))
    pixels[..., :3] = np.where(filled[..., None] > 0.5, ground[:3], edge[:3])
    blended = filled[..., None] * np.array(ground[:3]) + (1 - filled[..., None]) * np.array(
        edge[:3]
    )
    pixels[..., :3] = edge[:3] if mark.hollow else blended
    pixels[..., 3] = whole - filled if mark.hollow else whole
    texture = Texture.create(size=(PIXELS, PIXELS), colorfmt="rgba", mipmap=True)
    data = np.round(255 * pixels).astype(np.uint8).tobytes()
    texture.blit_buffer(data, colorfmt="rgba", bufferfmt="ubyte")
    return texture


def _inside(kind: str) -> NDArray[np.float64]:
    """How far each pixel lies within the shape, of its side; below 0 outside."""
    at = (np.arange(PIXELS) + 0.5) / PIXELS - 0.5
    x, y = np.abs(at)[None, :], np.abs(at)[:, None]
    if kind == "disc":
        return np.asarray(0.5 - np.hypot(x, y) - 1.0 / PIXELS)
    round_, half = 0.1, 0.5 - 1.0 / PIXELS
    beyond = np.hypot(np.maximum(x - half + round_, 0.0), np.maximum(y - half + round_, 0.0))
    within = np.minimum(np.maximum(x, y) - half + round_, 0.0)
    return np.asarray(round_ - beyond - within)


class Digits:
    """Numbers from one picture of the ten digits, at one size of type."""

    def __init__(self, font: str, size_px: float) -> None:
        image = TextImage(text="0123456789", font_name=font, font_size=size_px)
        image.refresh()
        self.texture = image.texture
        self.height = float(image.texture.height)
        self.broad = image.texture.width / 10  # all digits of the fonts are as broad as each other
        left, foot, right, *_, top = self.texture.tex_coords
        self._left, self._foot, self._top, self._across = left, foot, top, right - left

    def placed(self, numbers: Sequence[tuple[int, float, float]]) -> Mesh:
        """Each number with its middle, to be drawn after the colour of the ink."""
        return squares(
            (each for number, x, y in numbers for each in self._one(number, x, y)), self.texture
        )

    def _one(self, number: int, x: float, y: float) -> Iterable[tuple[Box, Box]]:
        text = str(number)
        left, foot = round(x - self.broad * len(text) / 2), round(y - self.height / 2)
        for at, digit in enumerate(map(int, text)):
            begins = self._left + self._across * digit / 10
            box = (left + self.broad * at, float(foot), self.broad, self.height)
            yield box, (begins, self._foot, begins + self._across / 10, self._top)
