"""What is known of the stages of a performance, on a sheet: order and reasons beside sources."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from desk.sheets import MARGIN, TEACHER, WIDTH, legend, paragraph, row
from quizzes.names import capital, listed
from quizzes.stages.order import Pair
from quizzes.stages.stage import Division, Form, Heard, Range, Stage
from quizzes.stages.tradition import SOURCE

LEGEND = legend("", "All of it stands in assets/stages/stages.toml and order.toml.")


def overview(known: Form) -> str:
    """All divisions with their stages, and every pair that is told."""
    parts = ["\n".join(_division(each, known)) for each in known.divisions.values()]
    pairs = [_pair(pair, known) for pair in known.order.told]
    return "\n\n".join([*parts, "\n".join(["What comes before what", *pairs]), LEGEND])


def sheet(stage: Stage, known: Form) -> str:
    """All that is known of one stage."""
    told = [pair for pair in known.order.told if stage.id in (pair.first, pair.then)]
    parts = [
        _title(stage),
        paragraph(f"{stage.name} is {stage.about}. It is there to {stage.purpose}."),
        "\n".join(_facts(stage, known)),
        "\n".join(_pair(pair, known) for pair in told),
        LEGEND,
    ]
    return "\n\n".join(part for part in parts if part)


def _title(stage: Stage) -> str:
    names = f", also called {listed(list(stage.also), 'or')}" if stage.also else ""
    return paragraph(f"{stage.name} ({stage.id}){names}")


def _division(division: Division, known: Form) -> Iterator[str]:
    yield capital(division.name) + ("" if division.ordered else ", in no order")
    widest = max(map(len, division.parts)) + 2
    for part in division.parts:
        stage = known.stages[part]
        yield f"{MARGIN}{part:{widest}}{', '.join((stage.name, *stage.also))}"


def _pair(pair: Pair, known: Form) -> str:
    """`Alap before Jor, always: the pulse of jor grows …` with where that is from."""
    first, then = known.stages[pair.first].name, known.stages[pair.then].name
    if pair.strength == "free":
        order = f"{first} and {then}, either first"
    else:
        order = f"{first} before {then}, {_HOW[pair.strength]}"
    told = f"{order}: {pair.why} ({_sourced(pair.confidence, pair.source)})"
    return "\n".join(wrap(told, WIDTH, initial_indent=MARGIN, subsequent_indent=2 * MARGIN))


_HOW = {"fixed": "always", "usual": "usually"}


def _facts(stage: Stage, known: Form) -> Iterator[str]:
    heard = stage.heard
    source = _sourced(heard.confidence, heard.source)
    whole = known.whole_of(stage.id)
    yield row("stands in", whole.name, _sourced("", whole.source))
    for number, (head, said) in enumerate(_heard(heard)):
        yield row(head, said, "" if number else source)
    for number, (head, said) in enumerate(_place(stage, known)):
        yield row(head, said, "" if number else _sourced(stage.confidence, stage.source))


def _place(stage: Stage, known: Form) -> Iterator[tuple[str, str]]:
    """Whether it is always played, and beside what."""
    whole = known.whole_of(stage.id).of
    instead = [each.name for each in known.stages.values() if stage.id in each.instead_of]
    if stage.may_lack:
        yield "the stage", "may be left out"
    elif instead:
        yield "the stage", f"is only left out for {listed(instead, 'or')}"
    else:
        within = f" where {known.stages[whole].name} is played" if whole else ""
        yield "the stage", f"is never left out{within}"
    for head, others in (("needs", stage.needs), ("may stand for", stage.instead_of)):
        if others:
            yield head, listed([known.stages[one].name for one in others])


def _heard(heard: Heard) -> Iterator[tuple[str, str]]:
    if heard.tempo is None:
        yield "pulse", "none"
    else:
        yield "pulse", f"{_span(heard.tempo)} a minute"
    yield "tabla", f"in {listed(list(heard.talas), 'or')}" if heard.talas else "none"
    yield "strokes", f"{_span(heard.strokes)} a second on the playing string"
    yield "chikari", f"{_share(heard.chikari)} of all strokes"
    yield "ornaments", f"on {_share(heard.ornaments)} of the notes"
    yield "register", ", then ".join(heard.register)
    for head, said in (("right hand", heard.bols), ("tan", heard.run), ("ends with", heard.ends)):
        if said:
            yield head, said


def _span(span: Range) -> str:
    return f"{span[0]:g} to {span[1]:g}"


def _share(span: Range) -> str:
    return f"{100 * span[0]:.0f} to {100 * span[1]:.0f} %"


def _sourced(confidence: str, source: str) -> str:
    return f"{TEACHER if source == SOURCE else confidence:1}  {source}"
