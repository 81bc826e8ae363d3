"""Bols in the letters of the language in use: `tabla_bols("dha dhin | tirakita")` of the tabla,
single or a line of a theka, and `mizrab_bols("da ra dir")` of the right hand.

For readers only: what is parsed, typed, kept and compared stays Latin. Only words that are bols
change; bars, rests and all else in a line stay. A word that is made of unknown syllables stays as
it is. The spellings are those of printed thekas and sitar handbooks (Devanagari: common practice,
and "Sitar Malika" at Hindi Wikisource for the mizrab; Bengali: the thekas at onushilon.org, and
the mizrab from memory).
"""

from __future__ import annotations

import re
from functools import cache

from words import LANGUAGES, language

_WORD = re.compile("[a-z]+")
_VOWEL = "aeiou"

_TABLA = """
tirakita    तिरकिट    তেরেকেটে
tirakit     तिरकिट    তেরেকেটে
tirikita    तिरिकिट   তেরেকেটে
tirkita     तिरकिट    তেরেকেটে
tirkit      तिरकिट    তেরেকেটে
trkt        तिरकिट    তেরেকেটে
tirekite    तिरेकिटे   তেরেকেটে
terekite    तेरेकिटे    তেরেকেটে
terekete    तेरेकेटे    তেরেকেটে
kirenaga    किरनग     কিরনগ
traka       त्रक       ত্রক
trak        त्रक       ত্রক
taka        तक        তক
tak         तक        তক
naka        नक        নক
nak         नक        নক
kata        कत        কত
katta       कत्ता      কত্তা
kita        किट       কিট
kit         किट       কিট
kite        किट       কিট
tita        तिट       তিট
tite        तिट       তিট
teta        तेट       তেট
tete        तेटे       তেটে
dhitita     धितिट     ধিতিট
gadi        गदि       গদি
gene        गिन       গিন
kra         क्र        ক্র
kdha        क्धा       ক্ধা
dhinna      धिन्ना     ধিন্না
tinna       तिन्ना     তিন্না
thunna      थुन्ना     থুন্না
tunna       तुन्ना     তুন্না
na          ना        না
ne          ने         নে
ta          ता        তা
tta         ट         ট
te          ते         তে
ti          ति        তি
tit         तित्       তিৎ
tet         तेत्       তেৎ
tin         तिं        তিন
tun         तुं        তুন
tu          तू        তু
thun        थुं        থুন
thu         थु        থু
din         दिं        দিন
den         दें        দেন
di          दि        দি
da          ड़        ড়
ra          र         র
re          रे         রে
ri          रि        রি
ge          गे         গে
ga          ग         গ
gi          गि        গি
ghe         घे         ঘে
gha         घ         ঘ
ghi         घि        ঘি
ke          के         কে
ka          क         ক
ki          कि        কি
kat         कत्       কৎ
dha         धा        ধা
dhin        धिं        ধিন
dhi         धि        ধি
dhee        धी        ধী
dhun        धुं        ধুন
dhum        धुम       ধুম
dhu         धु        ধু
dhe         धे         ধে
dhet        धेत्       ধেৎ
dhit        धित्       ধিৎ
"""
"""Bols, and words that are written otherwise than their bols one by one."""

_ALONE = {
    "Deva": {"dhi": "धी", "ti": "ती"},
    "Beng": {
        "tin": "তিন্",
        "tun": "তুন্",
        "thun": "থুন্",
        "din": "দিন্",
        "den": "দেন্",
        "dhin": "ধিন্",
        "dhun": "ধুন্",
        "dhum": "ধুম্",
    },
}
"""Bols that are written otherwise where they are a word by themselves: long, or with a hasanta,
without which the Bengali ones read as other words, tin as three and din as day."""

_MIZRAB = """
da          दा        দা
ra          रा        রা
dir         दिर       দির
diri        दिरि       দিরি
dara        दारा       দারা
dar         दार       দার
dra         द्रा       দ্রা
chikari     चिकारी    চিকারি
"""


def tabla_bols(text: str) -> str:
    """Bols of the tabla, one or a line of them."""
    return _written(text, _TABLA)


def mizrab_bols(text: str) -> str:
    """Bols of the mizrab, one or a line of them."""
    return _written(text, _MIZRAB)


def _written(text: str, table: str) -> str:
    script = LANGUAGES[language()].script
    known = _letters(table).get(script)
    if known is None:
        return text
    alone = _ALONE.get(script, {}) if table is _TABLA else {}

    def word(match: re.Match[str]) -> str:
        whole = match.group()
        if whole in alone:
            return alone[whole]
        pattern = _pattern(table)
        if not re.fullmatch(f"(?:{pattern})+", whole):
            return whole
        return re.sub(pattern, lambda part: known[part.group()], whole)

    return _WORD.sub(word, text)


@cache
def _letters(table: str) -> dict[str, dict[str, str]]:
    """Of each script how the bols of a table are written."""
    rows = [line.split() for line in table.strip().splitlines()]
    return {
        "Deva": {bol: devanagari for bol, devanagari, _ in rows},
        "Beng": {bol: bengali for bol, _, bengali in rows},
    }


@cache
def _pattern(table: str) -> str:
    """Any bol of a table, the longest first; one that ends without a vowel only where none
    follows: `dhina` is dhi and na."""
    bols = sorted(_letters(table)["Deva"], key=len, reverse=True)
    return "|".join(bol if bol[-1] in _VOWEL else f"{bol}(?![{_VOWEL}])" for bol in bols)
