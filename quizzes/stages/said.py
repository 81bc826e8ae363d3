"""What is said of stages, of what suits what and of layouts as their files have it, for who
translates it."""

from __future__ import annotations

from collections.abc import Iterator

from quizzes.stages.fitting import fits
from quizzes.stages.layouts import layouts
from quizzes.stages.tradition import form


def said_of_stages() -> Iterator[tuple[str, str]]:
    """(where, text) of all that a question shows of these files."""
    known = form()
    for stage in known.stages.values():
        where = "assets/stages/stages.toml"
        yield from ((where, text) for text in (stage.name, stage.about, stage.purpose))
    for division in known.divisions.values():
        yield from ((where, text) for text in (division.name, division.part))
    yield from (("assets/stages/order.toml", pair.why) for pair in known.order.told)
    for fit in fits().values():
        said = (fit.name, fit.about, fit.best, fit.least, fit.why, fit.why_not)
        yield from (("assets/stages/fit.toml", text) for text in said if text)
    for layout in layouts().values():
        yield from (("assets/stages/layout.toml", part.why) for part in layout.parts)
