"""`main.py palta`: the paltas, how one runs in a scale or a raga, and its sound as a file."""

from __future__ import annotations

import argparse
from collections.abc import Iterable

from audio.line import Beat, Line, Tone
from audio.playing import score_of
from audio.resonance import resounding
from audio.sargam import write
from desk.options import add_sa, add_tradition, add_tuning, read_tuning, tradition_of
from desk.raga_names import raga_named
from desk.unknown import near_ids, unknown
from desk.writing import add_drone, add_matras, add_out, drone_of, refuse, write_score
from quizzes.contours import THATS_BY_NAME, USUAL_SCALE
from quizzes.names import capital, listed, plain_name
from quizzes.paltas import (
    Group,
    Layout,
    Palta,
    Run,
    grades,
    lay,
    layouts,
    of_grade,
    paltas,
    run_in_raga,
    run_in_scale,
    straights,
)
from quizzes.ragas import Raga, ragas

EXAMPLES = """\
examples:
  main.py palta
  main.py palta --raga kedar
  main.py palta four-up --raga bhimpalasi
  main.py palta thirds --scale kalyan --layout dotted --matras 80 --out thirds.wav
"""
GROUP = 12
"""Signs for the first group in the list."""
LIKENESS = 0.5
"""Of the id of a palta that is proposed to one that is not known."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "palta",
        help="list the paltas, tell how one runs in a scale or a raga, play it into a WAV file",
        description="List the paltas; or tell how one runs up and down in a scale or a raga;\n"
        "or play it into a WAV file.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "palta", nargs="?", help="its id, or its name; without it all that run there are listed"
    )
    parser.add_argument("--raga", metavar="RAGA", help="run it in this raga, by any name of it")
    parser.add_argument(
        "--scale",
        metavar="THAT",
        help=f"run it in the scale of this that ({USUAL_SCALE} unless given)",
    )
    parser.add_argument(
        "--layout", metavar="LAYOUT", help="in this layout of rhythm (its usual one unless given)"
    )
    add_tradition(parser)
    add_out(parser, needed=False)
    add_sa(parser)
    add_tuning(parser)
    add_matras(parser)
    add_drone(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    raga = None
    if options.raga is not None:
        raga = raga_named(options.raga, ragas(tradition_of(options)))
        if raga is None:
            return 1
    scale = _scale(options.scale or USUAL_SCALE)
    if scale is None:
        return refuse(unknown(options.scale, "that", _one_of(THATS_BY_NAME)))
    if options.palta is None:
        if options.out is not None:
            return refuse("Say which palta is to be played; `main.py palta` lists them.")
        return _list(raga, scale)
    palta = _found(options.palta)
    if palta is None:
        return refuse(_no_palta(options.palta))
    layout = layouts().get(options.layout or palta.layouts[0])
    if layout is None:
        return refuse(unknown(options.layout, "layout", _one_of(palta.layouts)))
    found = _run(palta, raga, scale)
    if found is None:
        lists = f"`main.py palta --raga {raga.id}`" if raga else "`main.py palta`"
        by_phrases = raga is not None and _goes_by_phrases(raga)
        why = f"{raga.name} goes by its phrases, not by steps. " if raga and by_phrases else ""
        return refuse(
            f"{why}{capital(palta.name)} does not run {_where(raga, scale)}; {lists} lists what "
            "does."
        )
    _tell(palta, found, _where(raga, scale), layout)
    return 0 if options.out is None else _play(found, layout, options)


def _run(palta: Palta, raga: Raga | None, scale: str) -> Run | None:
    if raga:
        return run_in_raga(palta, raga)
    return run_in_scale(palta, THATS_BY_NAME[scale].split())


def _where(raga: Raga | None, scale: str) -> str:
    return f"in {raga.name}" if raga else f"in the scale of {scale}"


def _list(raga: Raga | None, scale: str) -> int:
    """Grade by grade, each palta that runs there, with its first group."""
    widest = max(map(len, paltas())) + 2
    for number, grade in enumerate(grades(), 1):
        running = [(each, _run(each, raga, scale)) for each in of_grade(grade.id)]
        if any(found for _, found in running):
            print(f"{number}  {capital(grade.name)} ({grade.id})")
        for palta, found in running:
            if found is not None:
                group = "".join(map(str, found.up[0]))
                print(f"   {palta.id:{widest}}{group:{GROUP}}{palta.name}")
    if raga and _goes_by_phrases(raga):
        print(f"{raga.name} goes by its phrases, not by steps: most paltas are left out.")
    print(f"Layouts: {', '.join(layouts())}")
    return 0


def _goes_by_phrases(raga: Raga) -> bool:
    """Whether a way of it turns, and it is not run straight either."""
    return bool(raga.vakra_up or raga.vakra_down) and raga.id not in straights()


def _found(name: str) -> Palta | None:
    known = paltas()
    named = (each for each in known.values() if plain_name(each.name) == plain_name(name))
    return known.get(name) or next(named, None)


def _scale(name: str) -> str | None:
    """The that of this name, however it is written."""
    return next((each for each in THATS_BY_NAME if plain_name(each) == plain_name(name)), None)


def _one_of(names: Iterable[str]) -> str:
    return f"give {listed(list(names), 'or')}"


def _no_palta(name: str) -> str:
    near = near_ids(name.lower(), {each: each for each in paltas()}, LIKENESS)
    return unknown(name, "palta", "`main.py palta` lists all", near)


def _tell(palta: Palta, run: Run, where: str, layout: Layout) -> None:
    """What is known of it, and how it runs."""
    called = f"; the Sangitaratnakara calls it {palta.also}" if palta.also else ""
    print(f"{capital(palta.name)} ({palta.id}), {where}, {layout.name}{called}")
    print(f"up    {write(lay(run.up, layout))}")
    print(f"down  {write(_home(run, run.down, layout))}")
    if run.straight is not None:
        print(f"straight, as in fast passages ({run.straight.source})")
    print(f"also in the layouts {listed([each for each in palta.layouts if each != layout.id])}")
    print(f"{palta.confidence}  {palta.source}")


def _home(run: Run, groups: Iterable[Group], layout: Layout) -> Line:
    """The groups in rhythm, and Sa to end on."""
    line = lay(groups, layout)
    return Line((*line.items, *(Beat((Tone(swara),)) for swara in run.home)))


def _play(run: Run, layout: Layout, options: argparse.Namespace) -> int:
    drone, lead_s = drone_of(options)
    score = score_of(
        _home(run, run.groups, layout),
        read_tuning(options.tuning),
        sa_hz=options.sa,
        matras_per_min=options.matras,
        drone=drone,
        lead_s=lead_s,
    )
    return write_score(resounding(score, body=True, tarab=False), options)
