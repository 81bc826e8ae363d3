"""`main.py stages`: how a performance unfolds, what is known of a stage, and a passage of it."""

from __future__ import annotations

import argparse
from collections.abc import Mapping

from audio.resonance import resounding
from desk.options import add_sa, add_seed, add_tradition, add_tuning, tradition_of
from desk.raga_names import meant_by
from desk.stage_sheet import overview, sheet
from desk.writing import add_play, refuse, write_score
from quizzes.fresh import Fresh
from quizzes.names import listed
from quizzes.ragas import ragas
from quizzes.stages.asking import stage_name
from quizzes.stages.passages import Passage, bears, passage
from quizzes.stages.stage import Form, Stage
from quizzes.stages.tradition import form
from quizzes.talas import Tala, talas

EXAMPLES = """\
examples:
  main.py stages
  main.py stages jor
  main.py stages "drut gat" --tradition my_teacher.toml
  main.py stages jor --raga yaman --play --out jor.wav
"""


SUGGESTED = 3
"""So many ragas are named that can be played where the one asked for cannot."""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "stages",
        help="tell how a performance unfolds, what a stage is, and play a passage of it",
        description="Tell the order in which a performance unfolds; or what is known of one\n"
        "stage, each fact with its source; or play a passage of it into a WAV file.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "stage", nargs="?", help="its id, or any name of it; without it the order of all is told"
    )
    add_tradition(parser)
    add_play(parser, "a passage of it")
    parser.add_argument(
        "--raga", metavar="RAGA", default="yaman", help="in which raga (%(default)s unless given)"
    )
    add_seed(parser, "another number gives another passage")
    add_sa(parser)
    add_tuning(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    known = form(tradition_of(options))
    if options.play != (options.out is not None):
        return refuse("To hear a passage give both --play and --out FILE.")
    if options.stage is None:
        if options.play:
            return refuse("Say which stage is to be played; `main.py stages` lists them.")
        print(overview(known))
        return 0
    stage = _found(options.stage, known)
    if stage is None:
        return refuse(f"{options.stage!r} is no stage known here; `main.py stages` lists all.")
    if options.play:
        return _play(stage, options)
    print(sheet(stage, known))
    return 0


def _found(name: str, known: Form) -> Stage | None:
    """By its id, or by any of its names, however they are spaced."""
    wanted = _plain(name)
    for stage in known.stages.values():
        if wanted in map(_plain, (stage.id, stage.name, *stage.also)):
            return stage
    return None


def _plain(name: str) -> str:
    return "".join(letter for letter in name.lower() if letter.isalnum())


def _measured(played: Passage, known: Mapping[str, Tala]) -> str:
    """Its tempo and where sam falls, for who listens along with a metronome."""
    if played.matras_per_min is None:
        return "no pulse"
    if played.tala is None:
        return f"{played.matras_per_min:.0f} pulses a minute"
    sams = listed([f"{sam_s:.1f}" for sam_s in played.sam_s])
    tala = known[played.tala].name
    return f"{tala}, {played.matras_per_min:.0f} matras a minute; sam at {sams} s"


def _play(stage: Stage, options: argparse.Namespace) -> int:
    known = ragas(tradition_of(options))
    meant = meant_by(options.raga, known).ragas
    if len(meant) != 1:
        return refuse(f"{options.raga!r} is no raga known here; `main.py raga` lists all.")
    (raga,) = meant
    fresh = Fresh(f"{stage.id} in {raga.id}", options.seed)
    try:
        played = passage(
            fresh,
            stage,
            raga,
            sa_hz=options.sa,
            tuning=options.tuning,
            tradition=tradition_of(options),
        )
    except ValueError:
        name = stage_name(form(tradition_of(options)), stage.id)
        others = listed([one.name for one in known.values() if bears(stage, one)][:SUGGESTED])
        return refuse(
            f"{raga.name} does not move so that {name} could be played in it; {others} do."
        )
    print(played.sargam)
    print(_measured(played, talas(tradition_of(options))))
    return write_score(resounding(played.score, body=True, tarab=False), options)
