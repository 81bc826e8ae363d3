"""A cycle in plain text: the signs of its hand above its matras, and how taps came to its beats."""

from __future__ import annotations

from collections.abc import Sequence

from audio.theka import BAR
from quizzes.explanation import Met
from quizzes.talas.cycle import in_figures, mixed
from quizzes.wheel import Span, Wheel
from screens.columns import broad, padded
from words import say, to_say

_SPANS = {"phrase": to_say("phrase"), "gap": to_say("gap")}


def wheel_printed(wheel: Wheel) -> list[str]:
    """Two lines, signs and matras with bars between the vibhags; of a blind wheel its points alone.

    What is marked, and each span, follows on a line of its own.
    """
    if wheel.blind:
        return [say("points 1 to {last} in turn; at point 1 the cue begins", last=wheel.matras)]
    heads = say("signs"), say("matras")
    first = max(map(broad, heads)) + 1
    signs, matras = (padded(head, first) for head in heads)
    for matra in range(1, wheel.matras + 1):
        if matra > 1 and matra in wheel.form.starts:
            signs, matras = f"{signs}  ", f"{matras}{BAR} "
        signs += f"{wheel.form.sign(matra):<{len(str(matra))}} "
        matras += f"{matra} "
    marked = [
        say("matra {number}: {said}", number=matra, said=said) for matra, said in wheel.marked
    ]
    return [signs.rstrip(), matras.rstrip(), *marked, *map(_span_printed, wheel.spans)]


def _span_printed(span: Span) -> str:
    said = "" if span.label == mixed(span.matras) else span.label
    parts = {"span": said or say(_SPANS[span.kind]), "matras": in_figures(span.matras)}
    if not span.start:
        return say("{span}: {matras}, from sam", **parts)
    return say("{span}: {matras}, from {place} after sam", place=in_figures(span.start), **parts)


def met_printed(met: Sequence[Met]) -> list[str]:
    """Each beat with how early or late it was met."""
    most = max((broad(each.label) for each in met), default=0)
    return [f"{padded(each.label, most)}  {off_in_words(each)}" for each in met]


def off_in_words(met: Met) -> str:
    """`23 ms early`, `on the beat` within half a millisecond, `148 ms late: not met`, `no tap`."""
    if met.off_ms is None:
        return say("no tap")
    off = round(met.off_ms)
    if off == 0:
        return say("on the beat")
    told = say("{ms} ms late", ms=off) if off > 0 else say("{ms} ms early", ms=-off)
    return told if met.is_met else say("{off}: not met", off=told)
