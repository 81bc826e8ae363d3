"""Takes a picture of every screen in its states, to be looked at, and tells what has no room; run
by hand.

.venv/bin/python -m tests.window.screenshots build/screenshots [--languages en hi bn]
    [--sizes 600x960 2560x1600] [--texts usual largest] [--parts PART...] [--high-contrast]
    [--left-handed] [--check-only]

.venv/bin/python -m tests.window.screenshots --readme assets/pictures
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
import traceback
from dataclasses import replace
from itertools import product
from pathlib import Path

from tests.window import opened

opened.SURFACE = 2560
opened.set_up()

from practice import Practice  # noqa: E402 - after the window is set up
from tests.window import readme_pictures  # noqa: E402
from tests.window.every_screen import PARTS, EveryScreen  # noqa: E402
from tests.window.room import faults  # noqa: E402

SIZES = ("600x960", "960x600", "1280x800", "2560x1600")
TEXTS = ("usual", "large", "largest")
LETTERS = {"hi": "devanagari", "bn": "bengali"}
"""What swaras are written in, by language; else in Latin letters."""


def walk(options: argparse.Namespace, language: str, size: str, text: str) -> dict[str, list[str]]:
    """All that is wrong on the screens of one app, with the names of what it was seen on; pictures
    are taken on the way.

    A part of the walk that breaks off is told, too, and the others are gone on with.
    """
    width, height = map(int, size.split("x"))
    settings = {
        "cautions_seen": True,
        "text_size": text,
        "left_handed": options.left_handed,
        "high_contrast": options.high_contrast,
        "language": language,
        "letters": LETTERS.get(language, ""),
    }
    found: dict[str, list[str]] = {}
    for part in options.parts:
        practice = Practice(Path(tempfile.mkdtemp()), speaker="silence")
        practice.save(replace(practice.settings, **settings))
        with opened.app_on(practice, (width, height)) as app:

            def see(name: str, app=app) -> None:
                for fault in faults(app.manager.current_screen):
                    found.setdefault(fault, []).append(name)
                if not options.check_only:
                    file = f"{name}-{language}-{size}-{text}.png"
                    opened.picture(options.folder / file)

            try:
                getattr(EveryScreen(app, see), part)()
            except Exception:
                found[f"broke off: {traceback.format_exc(limit=-3)}"] = [part]
        practice.close()
    return found


def main() -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("folder", type=Path)
    parser.add_argument("--languages", nargs="+", default=["en"], choices=["en", "hi", "bn"])
    parser.add_argument("--sizes", nargs="+", default=SIZES)
    parser.add_argument("--texts", nargs="+", default=["usual"], choices=TEXTS)
    parser.add_argument("--parts", nargs="+", default=PARTS, choices=(*PARTS, "each_once"))
    parser.add_argument("--left-handed", action="store_true")
    parser.add_argument("--high-contrast", action="store_true")
    parser.add_argument("--check-only", action="store_true", help="take no pictures")
    parser.add_argument("--readme", action="store_true", help="take those of the README alone")
    options = parser.parse_args()
    options.folder.mkdir(parents=True, exist_ok=True)
    if options.readme:
        readme_pictures.take_all(options.folder)
        return 0
    if options.check_only:
        opened.draw_only_when_told()
    count, began = 0, time.monotonic()
    for language, size, text in product(options.languages, options.sizes, options.texts):
        for fault, names in walk(options, language, size, text).items():
            count += 1
            seen = ", ".join(names[:3]) + ", …" * (len(names) > 3)
            print(f"{language} {size} {text}: {fault} ({seen})", flush=True)
    print(f"{count} faults; {time.monotonic() - began:.0f} s", file=sys.stderr)
    return 1 if count else 0


if __name__ == "__main__":
    raise SystemExit(main())
