"""What writing the same line whatever sounds earns: the share of places that is right by luck.

Lines of bols are much alike, so that a student who hears nothing has most places right. Credit
for a line in part begins above that.
"""

from __future__ import annotations

from collections import Counter
from functools import cache

from quizzes.bol_lines import CONTENTS, SHORT, Line, all_lines
from quizzes.edits import tally

LINES_TRIED = 90
"""At most so many lines, evenly out of all, on which a guess is tried."""
GUESSES_LIKELY = 8
"""So many lines that have the most places right are tried as guesses."""


def credit_of(line: Line, given: Line, *, content: str) -> float:
    """What a written line is worth: 1 when exact, else its share above that of a blind guess.

    With `share` as counted by `quizzes.edits.tally` and `blind` by `blind_share`, that is
    (share - blind) / (1 - blind), and never less than nothing: hearing nothing earns about
    nothing, and each slip costs more than its place.
    """
    if line == given:
        return 1.0
    blind = blind_share(content, len(line), line[0])
    return max(0.0, (tally(line, given).share - blind) / (1.0 - blind))


@cache
def blind_share(content: str, places: int, first: str) -> float:
    """The mean share of the best guess that is always the same, among lines that begin so.

    The first bol is told before the line sounds. Guesses tried are each cell over and over, the
    usual bol of each place, and lines that have the most places right.
    """
    lines = [line for line in all_lines(CONTENTS[content], places) if line[0] == first]
    at_place = [Counter(bols) for bols in zip(*lines, strict=True)]

    def places_right(guess: Line) -> int:
        return sum(count[bol] for count, bol in zip(at_place, guess, strict=True))

    likely = sorted(dict.fromkeys(lines), key=places_right, reverse=True)[:GUESSES_LIKELY]
    cells = dict.fromkeys(line[:SHORT] for line in lines)
    usual = tuple(count.most_common(1)[0][0] for count in at_place)
    tried = lines[:: -(-len(lines) // LINES_TRIED)]
    return max(
        sum(tally(line, guess).share for line in tried) / len(tried)
        for guess in (usual, *likely, *(cell * (places // SHORT) for cell in cells))
    )
