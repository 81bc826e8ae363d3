"""Talas read from their files.

A tala is a TOML file under `assets/talas/`, its id is the file's name. Matras are counted from 1.
Fields: `name`, `also` (other names), `matras`, `vibhags` (their lengths in order), `tali` and
`khali` (the matras on which the hand claps or waves: each vibhag begins with one of them), `laya`
(the classes in which it is usual), `character`. `[source]` says where `form` (matras to khali),
`laya` and `character` come from, and the `confidence` of the form, A, B or C. Then `[[theka]]`
tables, the usual one first: `bols` as `audio.theka` reads them with bars between the vibhags,
`about`, `source`, `laya` where it is for some classes only, and `said` where its words stand for
other strokes than they usually do. Where teachers differ,
`[[variant]]` tables: `about`, `source`, and those fields of the form that are otherwise.
"""

from __future__ import annotations

from pathlib import Path

from audio.errors import ThekaError
from audio.theka import read_theka
from quizzes.errors import TalaError
from quizzes.fields import Table, read_table
from quizzes.talas.tala import Form, Tala, ThekaText, Variant

TALAS = Path(__file__).parent.parent.parent / "assets" / "talas"

LAYAS = ("vilambit", "madhya", "drut")
"""Slow, middle, fast."""

CONFIDENCES = ("A", "B", "C")


def tala_ids(*, folder: Path = TALAS) -> tuple[str, ...]:
    """The ids of all talas in a folder, in the order of the alphabet."""
    return tuple(sorted(path.stem for path in folder.glob("*.toml")))


def load_tala(name: str, *, folder: Path = TALAS) -> Tala:
    """Read the file `name`.toml. Raises TalaError with file, line, field and remedy."""
    return read_tala(name, read_table(folder / f"{name}.toml", error=TalaError))


FORM = ("matras", "vibhags", "tali", "khali")
FACTS = {*FORM, "name", "also", "laya", "character", "source", "theka", "variant"}
"""The fields of a tala."""


def read_tala(name: str, table: Table) -> Tala:
    """The tala of a table that has all its fields. Raises TalaError."""
    table.only(FACTS)
    form = read_form(table)
    source = table.inner("source")
    source.only({"form", "laya", "character", "confidence"})
    thekas = tuple(_theka(each, form) for each in table.inners("theka"))
    if not thekas:
        raise table.fault("theka", "a tala needs at least one [[theka]] with bols and source")
    return Tala(
        name,
        table.text("name"),
        table.texts("also", needed=False),
        form,
        _laya(table),
        table.text("character"),
        thekas,
        tuple(_variant(each, form) for each in table.inners("variant")),
        source.text("form"),
        source.text("laya"),
        source.text("character"),
        source.one_of("confidence", CONFIDENCES),
    )


def _laya(table: Table, *, needed: bool = True) -> tuple[str, ...]:
    laya = table.texts("laya", needed=needed)
    for each in laya:
        if each not in LAYAS:
            raise table.fault("laya", f"{each!r} is not one of {', '.join(LAYAS)}")
    return laya


def read_form(table: Table) -> Form:
    """How the cycle of a table is divided and counted. Raises TalaError."""
    form = Form(
        table.numbers("matras", single=True)[0],
        table.numbers("vibhags"),
        table.numbers("tali"),
        table.numbers("khali"),
    )
    _check_form(table, form)
    return form


def _check_form(table: Table, form: Form) -> None:
    if sum(form.vibhags) != form.matras:
        raise table.fault(
            "vibhags",
            f"{list(form.vibhags)} make {sum(form.vibhags)} matras, not {form.matras}; "
            f"mend vibhags or matras",
        )
    starts = set(form.starts)
    for field, marks in (("tali", form.tali), ("khali", form.khali)):
        strange = [mark for mark in marks if mark not in starts]
        if strange or list(marks) != sorted(set(marks)):
            raise table.fault(
                field,
                f"{list(marks)} should rise and be first matras of vibhags, "
                f"from {sorted(starts)}; mend {field} or vibhags",
            )
    both = set(form.tali) & set(form.khali)
    neither = starts - {*form.tali, *form.khali}
    if both or neither:
        raise table.fault(
            "khali",
            f"matra {min(both or neither)} begins a vibhag and is "
            f"{'both tali and khali' if both else 'neither tali nor khali'}; it should be one",
        )


def _theka(table: Table, form: Form) -> ThekaText:
    table.only({"bols", "about", "source", "laya", "said"})
    bols = table.text("bols")
    _check_bols(table, "bols", bols, form)
    said = table.text("said", needed=False)
    if said:
        _check_bols(table, "said", said, form)
    return ThekaText(
        bols,
        table.text("about", needed=False),
        table.text("source"),
        _laya(table, needed=False),
        said,
    )


def _check_bols(table: Table, field: str, bols: str, form: Form) -> None:
    try:
        theka = read_theka(bols)
    except ThekaError as error:
        raise table.fault(field, str(error)) from error
    if theka.vibhags != form.vibhags:
        raise table.fault(
            field,
            f"between its bars it has {list(theka.vibhags)} matras, "
            f"the vibhags have {list(form.vibhags)}; write one word a matra, | between vibhags",
        )


def _variant(table: Table, usual: Form) -> Variant:
    table.only({*FORM, "bols", "about", "source"})
    has = table.values
    form = Form(
        table.numbers("matras", single=True)[0] if "matras" in has else usual.matras,
        table.numbers("vibhags") if "vibhags" in has else usual.vibhags,
        table.numbers("tali") if "tali" in has else usual.tali,
        table.numbers("khali") if "khali" in has else usual.khali,
    )
    _check_form(table, form)
    bols = table.text("bols", needed=False) or None
    if bols:
        _check_bols(table, "bols", bols, form)
    elif form == usual:
        raise table.fault("about", "a variant needs a field of the form, or bols, to differ in")
    return Variant(form, bols, table.text("about"), table.text("source"))
