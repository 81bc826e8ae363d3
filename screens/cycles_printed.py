"""A cycle in plain text: the signs of its hand above its matras, and how taps came to its beats."""

from __future__ import annotations

from collections.abc import Sequence

from audio.theka import BAR
from quizzes.explanation import Met
from quizzes.talas.cycle import in_figures, mixed
from quizzes.wheel import Span, Wheel


def wheel_printed(wheel: Wheel) -> list[str]:
    """Two lines, signs and matras with bars between the vibhags; of a blind wheel its points alone.

    What is marked, and each span, follows on a line of its own.
    """
    if wheel.blind:
        return [f"points 1 to {wheel.matras} in turn; at point 1 the cue begins"]
    signs, matras = "signs  ", "matras "
    for matra in range(1, wheel.matras + 1):
        if matra > 1 and matra in wheel.form.starts:
            signs, matras = f"{signs}  ", f"{matras}{BAR} "
        broad = len(str(matra))
        signs += f"{wheel.form.sign(matra):<{broad}} "
        matras += f"{matra} "
    marked = [f"matra {matra}: {said}" for matra, said in wheel.marked]
    return [signs.rstrip(), matras.rstrip(), *marked, *map(_span_printed, wheel.spans)]


def _span_printed(span: Span) -> str:
    said = "" if span.label == mixed(span.matras) else span.label
    begins = f"{in_figures(span.start)} after sam" if span.start else "sam"
    return f"{said or span.kind}: {in_figures(span.matras)}, from {begins}"


def met_printed(met: Sequence[Met]) -> list[str]:
    """Each beat with how early or late it was met."""
    broad = max((len(each.label) for each in met), default=0)
    return [f"{each.label:<{broad}}  {off_in_words(each)}" for each in met]


def off_in_words(met: Met) -> str:
    """`23 ms early`, `on the beat` within half a millisecond, `148 ms late: not met`, `no tap`."""
    if met.off_ms is None:
        return "no tap"
    off = round(met.off_ms)
    if off == 0:
        return "on the beat"
    told = f"{abs(off)} ms {'late' if off > 0 else 'early'}"
    return told if met.is_met else f"{told}: not met"
