"""What is known of a tala, on a sheet: how it is counted, its thekas and variants, with sources."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from textwrap import wrap

from audio.theka import BAR
from desk.sheets import MARGIN, TEACHER, WIDTH, paragraph, row
from quizzes.names import capital, listed
from quizzes.talas import Form, Tala, ThekaText, Variant
from quizzes.talas.sounds import vibhags_of
from quizzes.talas.tradition import SOURCE
from quizzes.talas.wording import on_matras

LEGEND = f"""\
{MARGIN}X  sam; 2, 3 and on the later claps; 0 a wave (where sam is waved, the claps
{MARGIN}   are 1, 2 and on)
{MARGIN}A  public syllabi, or several sources, agree on the form
{MARGIN}B  common, but told by fewer sources, or with thekas that differ
{MARGIN}C  disputed or from memory; not asked until your teacher has said how it is
{MARGIN}T  your teacher's word, above all others
{MARGIN}All of it stands in assets/talas."""
BETWEEN = f" {BAR} "


def overview(known: Mapping[str, Tala]) -> str:
    """A line for each, by matras: its length, how sure its form is, laya and names."""
    widest = max(map(len, known)) + 2
    lines = [
        f"{tala.id:{widest}}{tala.matras:2} matras  {_sure(tala)}  {', '.join(tala.laya):22}  "
        f"{tala.name}"
        for tala in sorted(known.values(), key=lambda tala: (tala.matras, tala.id))
    ]
    return "\n".join([*lines, "", LEGEND])


def sheet(tala: Tala) -> str:
    """All that is known of one tala."""
    parts = [
        _title(tala),
        paragraph(f"{capital(tala.character)}."),
        "\n".join(_facts(tala)),
        *(
            _theka(number, theka, tala.form, of=len(tala.thekas))
            for number, theka in enumerate(tala.thekas, 1)
        ),
        *(_variant(variant) for variant in tala.variants),
        LEGEND,
    ]
    return "\n\n".join(parts)


def cycle(form: Form, bols: str) -> Iterator[str]:
    """The cycle as it is printed, vibhag by vibhag: signs of the hand, and below them the bols.

    Vibhags that find no room on a line go on to the next pair of lines.
    """
    groups = map(" ".join, vibhags_of(bols))
    signs = map(form.sign, form.starts)
    cells = [(sign, group) for sign, group in zip(signs, groups, strict=True)]
    line: list[tuple[str, str]] = []
    for cell in cells:
        if line and _width([*line, cell]) > WIDTH - len(MARGIN):
            yield from _lines(line)
            line = []
        line.append(cell)
    yield from _lines(line)


def _width(cells: list[tuple[str, str]]) -> int:
    return sum(max(map(len, cell)) for cell in cells) + len(BETWEEN) * (len(cells) - 1)


def _lines(cells: list[tuple[str, str]]) -> Iterator[str]:
    widths = [max(map(len, cell)) for cell in cells]
    gap = " " * len(BETWEEN)
    for number, between in ((0, gap), (1, BETWEEN)):
        padded = (f"{cell[number]:{width}}" for cell, width in zip(cells, widths, strict=True))
        yield f"{MARGIN}{between.join(padded)}".rstrip()


def _title(tala: Tala) -> str:
    names = f", also called {listed(list(tala.also), 'or')}" if tala.also else ""
    return paragraph(f"{tala.name} ({tala.id}){names}")


def _facts(tala: Tala) -> Iterator[str]:
    form = tala.form
    yield row("matras", str(form.matras), f"{_sure(tala)}  {tala.form_source}")
    yield row("vibhags", " + ".join(map(str, form.vibhags)), "")
    yield row("tali", _on(form.tali), "")
    yield row("khali", _on(form.khali), "")
    yield row("laya", listed(list(tala.laya), "or"), _sourced(tala.laya_source))
    yield row("character", "as above", _sourced(tala.character_source))


def _on(matras: tuple[int, ...]) -> str:
    return f"on {on_matras(matras)}" if matras else "none"


def _sure(tala: Tala) -> str:
    return TEACHER if tala.form_source == SOURCE else tala.confidence


def _sourced(source: str) -> str:
    return f"{TEACHER if source == SOURCE else ' '}  {source}"


def _theka(number: int, theka: ThekaText, form: Form, *, of: int) -> str:
    head = "Theka" if of == 1 else f"Theka {number}"
    laya = f"for {listed(list(theka.laya), 'or')}" if theka.laya else ""
    told = "; ".join(each for each in (laya, theka.about) if each)
    return "\n".join(
        [
            _told(f"{head}: {told}" if told else head),
            *cycle(form, theka.words),
            _told(f"({theka.source})", deep=MARGIN),
        ]
    )


def _variant(variant: Variant) -> str:
    form = variant.form
    counted = (
        f"{form.matras} matras, {' + '.join(map(str, form.vibhags))}; "
        f"tali {_on(form.tali)}; khali {_on(form.khali)}"
    )
    bols = cycle(form, variant.bols) if variant.bols else ()
    return "\n".join(
        [
            _told(f"Others: {variant.about}"),
            _told(counted, deep=MARGIN),
            *bols,
            _told(f"({variant.source})", deep=MARGIN),
        ]
    )


def _told(text: str, deep: str = "") -> str:
    return "\n".join(wrap(text, WIDTH, initial_indent=deep, subsequent_indent=deep or MARGIN))
