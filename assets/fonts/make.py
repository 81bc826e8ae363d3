"""Makes the fonts in which Devanagari or Bengali stands beside Latin letters.

    python assets/fonts/make.py FOLDER

The folder holds the Noto fonts of both scripts, as Debian's fonts-noto-core has them
(/usr/share/fonts/truetype/noto). Latin letters, figures and signs come from the fonts beside this
file, so that one font draws a whole text: Kivy shapes a text with one font and one script.
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from fontTools import subset
from fontTools.merge import Merger
from fontTools.ttLib import TTFont

HERE = Path(__file__).resolve().parent
SCRIPTS = {"Deva": "Devanagari", "Beng": "Bengali"}
FACES = ("Sans-Regular", "Sans-Bold", "Serif-Regular")
BESIDE = (
    *range(0x20, 0x250),
    *range(0x300, 0x370),
    *range(0x1E00, 0x1F00),
    *range(0x2000, 0x200B),
    *range(0x2010, 0x2300),
    *range(0x25A0, 0x2800),
)
"""What is taken from the Latin font: letters, marks, punctuation, arrows, shapes."""


def make(face: str, script: str, noto: Path) -> Path:
    """Write one font; returns its path."""
    family, weight = face.split("-")
    latin = TTFont(HERE / f"Noto{face}.ttf")
    own = TTFont(noto / f"Noto{family}{SCRIPTS[script]}-{weight}.ttf")
    cut(latin, BESIDE)
    cut(own, [sign for sign in own.getBestCmap() if sign not in latin.getBestCmap()])
    with TemporaryDirectory() as folder:
        parts = [str(Path(folder) / "latin.ttf"), str(Path(folder) / "own.ttf")]
        latin.save(parts[0])
        own.save(parts[1])
        whole = Merger().merge(parts)
    for record in whole["name"].names:
        if record.nameID in (1, 4, 6, 16):
            sign = "" if record.nameID == 6 else " "
            record.string = sign.join(("Kaan", family, SCRIPTS[script], weight))
    path = HERE / f"Kaan{face}-{script}.ttf"
    whole.save(path)
    return path


def cut(font: TTFont, signs: object) -> None:
    """Keep only these signs, with what shapes them."""
    options = subset.Options(layout_features=["*"], hinting=False, name_IDs=["*"])
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=signs)
    subsetter.subset(font)


if __name__ == "__main__":
    for wanted in SCRIPTS:
        for one in FACES:
            print(make(one, wanted, Path(sys.argv[1])))
