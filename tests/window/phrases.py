"""Making a phrase as a student does: on the string, with the pad's keys, or by the keyboard."""

from __future__ import annotations

from audio.ornaments import MEENDS
from screens.phrase import JOINED, Phrase
from screens.phrase_keys import SHADES, TYPED_LENGTHS
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
    """Make a line by touch alone: swaras and meends on the string, all else by keys of the pad."""
    items = Phrase.read(line).items
    at = 0
    while at < len(items):
        chain = [items[at]]
        if chain[0].tone is None:
            touch(pad_key(drill, "lengths", chain[0].part))
        else:
            while at + len(chain) < len(items) and _slides_to(items[at + len(chain)]):
                chain.append(items[at + len(chain)])
            play(drill, *(item.tone.swara for item in chain))
            treat(drill, chain[-1].tone)
        if chain[-1].matras != 1:
            touch(pad_key(drill, "lengths", f"length {chain[-1].matras}"))
        at += len(chain)
    frames(1)


def _slides_to(item):
    return item.tone is not None and item.tone.by in MEENDS and item.matras == 1


def play(drill, *swaras):
    """Touch the string at a swara, and slide from there to others."""
    see_saptak(drill, swaras[0])
    string = drill.ids.phrase_string
    if len(swaras) > 1:
        slide(string, *map(str, swaras))
    else:
        touch_fret(string, str(swaras[0]))


def treat(drill, tone):
    """Play the swara that was just made as it is to be, with the keys."""
    for by, ways in JOINED.items():
        if by != "meend" and tone.by and tone.by in ways:
            touch(pad_key(drill, "hands", by))
    for others, key_id in ((tone.touches, "kan"), (filter(None, [tone.shaken]), "zamzama")):
        for swara in others:
            touch(pad_key(drill, "hands", key_id))
            play(drill, swara)
    if tone.sway:
        touch(pad_key(drill, "hands", tone.sway))
    for about, _, _, field, value in SHADES:
        if getattr(tone, field) == value:
            touch(pad_key(drill, "shades", about))


def type_out(line):
    """Write a line by the keyboard, sign by sign."""
    figures = {matras: figure for figure, matras in TYPED_LENGTHS.items()}
    for item in Phrase.read(line).items:
        signs = item.part if item.tone is None else _signs_of(item.tone)
        for sign in signs + ("" if item.matras == 1 else figures[item.matras]):
            key(sign)


def _signs_of(tone):
    touches = "".join(map(str, tone.touches))
    swaras = f"{{{tone.swara}{tone.shaken}}}" if tone.shaken else str(tone.swara)
    sway = {"": "", "andolan": "~", "gamak": "~~"}[tone.sway]
    before = f"({touches})" if touches else tone.by
    return f"{before}{swaras}{sway}{LOUD[tone.loud]}{TONE[tone.tone]}"
