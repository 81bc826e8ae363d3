"""Paltas: patterns run up and down a scale or a raga, laid out in rhythm; and prastara.

    paltas() -> Mapping[str, Palta]            # by id, graded; palta.py says what each has
    grades() -> tuple[Grade, ...]              # the easiest first
    layouts() -> Mapping[str, Layout]
    run_in_scale(palta, letters) -> Run | None
    run_in_raga(palta, raga) -> Run | None     # along the raga's own ways
    group_from(shape, letters, start) -> Group | None
    lay(groups, layout) -> Line                # in rhythm

`prastara` is a module of its own: orders, order_at, index_of, following, count.
"""

from quizzes.paltas.layout import lay
from quizzes.paltas.palta import Grade, Layout, Palta, Shape, Straight
from quizzes.paltas.reading import grades, layouts, layouts_for, of_grade, paltas, straights
from quizzes.paltas.running import Group, Run, group_from, run_in_raga, run_in_scale

__all__ = [
    "Grade",
    "Group",
    "Layout",
    "Palta",
    "Run",
    "Shape",
    "Straight",
    "grades",
    "group_from",
    "lay",
    "layouts",
    "layouts_for",
    "of_grade",
    "paltas",
    "run_in_raga",
    "run_in_scale",
    "straights",
]
