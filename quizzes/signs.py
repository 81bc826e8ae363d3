"""Which signs Kaan can show: those that its fonts draw, and spaces."""

from __future__ import annotations

import unicodedata

SHOWN = """
0020-007E 00A0-00AC 00AE-0377 037A-037F 0384-038A 038C 038E-03A1 03A3-03E1 03F0-052F 1AB0-1AC0
1C80-1C88 1D00-1DF9 1DFB-1F15 1F18-1F1D 1F20-1F45 1F48-1F4D 1F50-1F57 1F59 1F5B 1F5D 1F5F-1F7D
1F80-1FB4 1FB6-1FC4 1FC6-1FD3 1FD6-1FDB 1FDD-1FEF 1FF2-1FF4 1FF6-1FFE 2000-200A 2010-2027 202F-205F
2070-2071 2074-208E 2090-209C 20A0-20BF 20F0 2100-215F 2184 2189 25CC 2C60-2C7F 2DE0-2E52 A640-A69F
A700-A7BF A7C2-A7CA A7F5-A7FF A92E AB30-AB6B FB00-FB06 FE20-FE2F FFFC-FFFD
"""
"""By their places in Unicode; Latin, Greek and Cyrillic letters, and what stands beside them."""

SCRIPTS = {
    "Deva": "0900-0963 0966-097F",
    "Beng": "0980-0983 0985-098C 098F-0990 0993-09A8 09AA-09B0 09B2 09B6-09B9 09BC-09C4 09C7-09C8 "
    "09CB-09CE 09D7 09DC-09DD 09DF-09E3 09E6-09FE",
}
"""Two scripts with fonts of their own, by their codes in ISO 15924; dandas are in both."""
BESIDE = "0020-024F 0300-036F 0964-0965 1E00-1EFF 2000-200A 200C-200D 2010-22FF 25A0-27FF"
"""What these fonts draw besides, of what can be shown; joiners belong to such letters."""
_UNSEEN = ("Cf", "Zl", "Zp")
"""Categories of what is no sign on paper: joiners, directions, separators."""


def _signs(places: str) -> frozenset[str]:
    return frozenset(
        chr(place)
        for first, _, last in (each.partition("-") for each in places.split())
        for place in range(int(first, 16), int(last or first, 16) + 1)
    )


_SHOWN = _signs(SHOWN)
_OF_SCRIPTS = {script: _signs(places) for script, places in SCRIPTS.items()}
_DANDAS = _signs("0964-0965")
"""They end sentences in Devanagari and Bengali alike, after a figure or a Latin word, too."""
_BESIDE = (_SHOWN & _signs(BESIDE)) | _DANDAS | _signs("200C-200D")


def unshown(text: str) -> str:
    """The first sign that cannot be shown, ends of lines and other controls aside; "" where all
    can."""
    if text.isascii():
        return ""
    return next((s for s in text if s not in _SHOWN and unicodedata.category(s) != "Cc"), "")


def script_of(text: str) -> str:
    """The code of the script in whose font a text is drawn: that of its first letter in Devanagari
    or Bengali, or that of a danda without either; else "Latn"."""
    if text.isascii():
        return "Latn"
    for sign in text:
        for script, signs in _OF_SCRIPTS.items():
            if sign in signs:
                return script
    return "Latn" if _DANDAS.isdisjoint(text) else "Deva"


def undrawn(text: str) -> str:
    """The first sign that no single font of the screens draws beside the others of this text; ""
    where one draws all. Devanagari or Bengali may stand beside Latin letters, but not both."""
    script = script_of(text)
    if script == "Latn":
        return unshown(text)
    drawn = _OF_SCRIPTS[script] | _BESIDE
    return next((s for s in text if s not in drawn and unicodedata.category(s) != "Cc"), "")


def told(sign: str) -> tuple[str, str]:
    """What is wrong where such a sign stands, and what would be right."""
    name, sort = unicodedata.name(sign, "").capitalize(), unicodedata.category(sign)
    code = f"U+{ord(sign):04X}"
    wrong = f"holds a sign that Kaan cannot show, {f'{name} ({code})' if name else code}"
    if sort in _UNSEEN:
        return wrong, "leave that sign out"
    if sort[0] in "LMN":
        return wrong, 'write it in Latin letters, such as "komal Re", in Devanagari or in Bengali'
    return wrong, "write it in words, or leave it out"
