"""Talas: cycles of matras, how they are counted on the hand, and the thekas that keep them.

A tala is a TOML file under `assets/talas/`, its id is the file's name. Matras are counted from 1.
Fields: `name`, `also` (other names), `matras`, `vibhags` (their lengths in order), `tali` and
`khali` (the matras on which the hand claps or waves: each vibhag begins with one of them), `laya`
(the classes in which it is usual), `character`. `[source]` says where `form` (matras to khali),
`laya` and `character` come from. Then `[[theka]]` tables, the usual one first: `bols` as
`audio.theka` reads them with bars between the vibhags, `about`, `source`. Where teachers differ,
`[[variant]]` tables: `about`, `source`, and those fields of the form that are otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate
from pathlib import Path

from audio.errors import ThekaError
from audio.theka import read_theka
from quizzes.errors import TalaError
from quizzes.fields import Table, read_table

TALAS = Path(__file__).parent.parent / "assets" / "talas"

LAYAS = ("vilambit", "madhya", "drut")
"""Slow, middle, fast."""


@dataclass(frozen=True, slots=True)
class Form:
    """How a cycle is divided and counted."""

    matras: int
    vibhags: tuple[int, ...]
    tali: tuple[int, ...]
    khali: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class ThekaText:
    """One theka of a tala: `bols` as `audio.theka.read_theka` reads them."""

    bols: str
    about: str
    source: str


@dataclass(frozen=True, slots=True)
class Variant:
    """How other teachers have it: the whole form, and their theka where it must differ."""

    form: Form
    bols: str | None
    about: str
    source: str


@dataclass(frozen=True, slots=True)
class Tala:
    """A tala as one file tells it."""

    id: str
    name: str
    also: tuple[str, ...]
    form: Form
    laya: tuple[str, ...]
    character: str
    thekas: tuple[ThekaText, ...]
    variants: tuple[Variant, ...]
    form_source: str
    laya_source: str
    character_source: str

    @property
    def matras(self) -> int:
        return self.form.matras

    @property
    def vibhags(self) -> tuple[int, ...]:
        return self.form.vibhags

    @property
    def tali(self) -> tuple[int, ...]:
        return self.form.tali

    @property
    def khali(self) -> tuple[int, ...]:
        return self.form.khali

    @property
    def theka(self) -> str:
        """The bols of the usual theka."""
        return self.thekas[0].bols


def talas(*, folder: Path = TALAS) -> tuple[str, ...]:
    """The ids of all talas in a folder, in the order of the alphabet."""
    return tuple(sorted(path.stem for path in folder.glob("*.toml")))


def load_tala(name: str, *, folder: Path = TALAS) -> Tala:
    """Read the file `name`.toml. Raises TalaError with file, line, field and remedy."""
    return _tala(name, read_table(folder / f"{name}.toml", error=TalaError))


_FORM = {"matras", "vibhags", "tali", "khali"}
_FACTS = _FORM | {"name", "also", "laya", "character", "source", "theka", "variant"}


def _tala(name: str, table: Table) -> Tala:
    table.only(_FACTS)
    form = _form(table)
    source = table.inner("source")
    source.only({"form", "laya", "character"})
    thekas = tuple(_theka(each, form) for each in table.inners("theka"))
    if not thekas:
        raise table.fault("theka", "a tala needs at least one [[theka]] with bols and source")
    laya = table.texts("laya")
    for each in laya:
        if each not in LAYAS:
            raise table.fault("laya", f"{each!r} is not one of {', '.join(LAYAS)}")
    return Tala(
        name,
        table.text("name"),
        table.texts("also", needed=False),
        form,
        laya,
        table.text("character"),
        thekas,
        tuple(_variant(each, form) for each in table.inners("variant")),
        source.text("form"),
        source.text("laya"),
        source.text("character"),
    )


def _form(table: Table) -> Form:
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
    starts = {1, *(1 + end for end in accumulate(form.vibhags[:-1]))}
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
    table.only({"bols", "about", "source"})
    bols = table.text("bols")
    _check_bols(table, "bols", bols, form)
    return ThekaText(bols, table.text("about", needed=False), table.text("source"))


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
    table.only({*_FORM, "bols", "about", "source"})
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
