"""Making a phrase as a student does: on the string, with the pad's keys, or by the keyboard."""

from __future__ import annotations

from audio.ornaments import MEENDS
from screens.phrase import Phrase
from screens.phrase_keys import TYPED_LENGTHS
from screens.phrase_strip import LOUD, TONE
from tests.window.hands import frames, key, slide, touch, touch_fret


def pad_key(drill, group, key_id):
    """A key of the pad, whose group is brought on view by touch."""
    pad = drill.ids.phrase
    if pad.group != group:
        touch(next(tab for tab in pad.ids.tabs.children if tab.group == group))
    return next(plate for plate in pad.ids.grid.children if plate.key.id == key_id)


def see_saptak(drill, swara):
    """Bring the saptak of a swara on view."""
    string = drill.ids.phrase_string
    if str(swara) not in {str(fret.swara) for fret in string.offered()}:
        touch(next(p for p in drill.ids.phrase_saptaks.children if p.octave == swara.octave))


def make(drill, line):
    """Make a line of swaras, meends and lengths by touch alone."""
    string, items = drill.ids.phrase_string, Phrase.read(line).items
    at = 0
    while at < len(items):
        chain = [items[at]]
        while at + len(chain) < len(items) and items[at + len(chain)].tone.by in MEENDS:
            chain.append(items[at + len(chain)])
        see_saptak(drill, chain[0].tone.swara)
        if len(chain) > 1:
            slide(string, *(str(item.tone.swara) for item in chain))
        else:
            touch_fret(string, str(chain[0].tone.swara))
        if chain[-1].matras != 1:
            touch(pad_key(drill, "lengths", f"length {chain[-1].matras}"))
        at += len(chain)
    frames(1)


def type_out(line):
    """Write a line by the keyboard, sign by sign."""
    figures = {matras: figure for figure, matras in TYPED_LENGTHS.items()}
    for item in Phrase.read(line).items:
        tone = item.tone
        if tone is None:
            key(item.part)
        else:
            for sign in f"{tone.by}{tone.swara}":
                key(sign)
            for sign in LOUD[tone.loud] + TONE[tone.tone]:
                key(sign)
        if item.matras != 1:
            key(figures[item.matras])
