"""Sargam in writing: one parser and one printer.

A line is a row of beats with spaces between them; each beat takes one matra.

    S R G m          four matras
    N, S'            mandra Ni, tar Sa; marks repeat for further octaves
    SR GmP           two, and three, notes to one matra
    S - R-G          "-" holds the note before it for one more part
    S . P            "." is a rest
    S:2 RG:3/2       a beat that takes another number of matras
    S R | G m        "|" is a bar, such as between vibhags
    Sccc             "c" strikes the chikari while the note rings on

What the left hand does on one stroke:

    R/m  m\\R         meend: pulled up, and released from a pull; at most five semitones in all
    S<R  R>S         sparsh, hammered on; krintan, pulled off
    S//P  P\\\\S       ghaseet: along the frets, up and down
    (P)m  (RSN,)S    kan, one swara touched before another; murki, a cluster before it
    r~  r~~          andolan, a slow swing; gamak, fast and wide
    {SR}             zamzama: hammered on and pulled off again and again

How the right hand strikes:

    S^  S_           stronger, and softer
    S*  So           brighter, nearer to the bridge, and rounder, further from it

A join at the end of a beat leads to the next one: `R/ m`; beside a length it stands before or after
it: `R/:2 m`, `R:2/ m`. `[ ]` are kept for later. That notes
joined together share a matra, that a dash holds, and that a kan stands before its swara is common
practice in printed sargam; the other signs are our own.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from audio.errors import SargamError
from audio.line import BAR, CHIKARI, HOLD, REST, Beat, Line, Part, Tone
from audio.ornaments import DOWNWARD, MEENDS, UPWARD, ornaments
from audio.tuning import SWARAS, Swara

KEPT_FOR_LATER = "[]"
FURTHEST_OCTAVE = 3
MOST_MATRAS = 1000
MOST_TOUCHES = 4
FURTHEST_HAMMERED = 5
"""Semitones between two fingers on one string (assumption)."""
LONGEST_LINE = 20_000

_JOIN = re.compile(r"//|\\\\|[/\\<>]")
_LENGTH = re.compile(rf"([0-9]{{1,6}}(?:/[0-9]{{1,6}})?)({_JOIN.pattern})?")
_SWAYS = {"": "", "~": "andolan", "~~": "gamak"}
_SWAY_SIGNS = {sway: sign for sign, sway in _SWAYS.items()}
_LOUD = {"": 0, "^": 1, "_": -1}
_LOUD_SIGNS = {loud: sign for sign, loud in _LOUD.items()}
_TONES = {"": 0, "*": 1, "o": -1}
_TONE_SIGNS = {tone: sign for sign, tone in _TONES.items()}
_STRUCK = {"^": "stronger", "_": "softer", "*": "brighter", "o": "rounder"}
_AFTER = re.compile("([*o^_]*)(~*)([*o^_]*)")


def parse(text: str) -> Line:
    """Read a line of sargam. Raises SargamError, which points at the character at fault."""
    if len(text) > LONGEST_LINE:
        raise SargamError(
            f"the line has {len(text)} characters; at most {LONGEST_LINE} can be read",
            text=text[:60],
            position=0,
        )
    line = _Reader(text).line()
    if line.matras > MOST_MATRAS:
        raise SargamError(
            f"the line takes {line.matras} matras; at most {MOST_MATRAS} can be played",
            text=text,
            position=0,
        )
    return line


class _Reader:
    """Reads one line from left to right and knows what sounds where it stands."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._at = 0
        self._sounding: Swara | None = None
        self._join, self._join_at = "", 0
        self._pulled: list[Swara] = []

    def line(self) -> Line:
        items: list[Beat | str] = []
        for match in re.finditer(r"\||[^\s|]+", self._text):
            items.append(BAR if match.group() == BAR else self._beat(match.start(), match.end()))
        if not any(isinstance(item, Beat) for item in items):
            raise SargamError(
                "there is no note; write swaras such as S R G", text=self._text, position=0
            )
        if self._join:
            raise self._no_target()
        return Line(tuple(items))

    def _beat(self, start: int, end: int) -> Beat:
        body, colon, length = self._text[start:end].partition(":")
        self._at, stop = start, start + len(body)
        parts: list[Part] = []
        while self._at < stop:
            if parts and (join := _JOIN.match(self._text, self._at, stop)):
                self._take_join(join.group(), parts[-1])
            else:
                parts.append(self._part(stop))
        if not parts:
            raise self._fault("a note should stand before :", start)
        return Beat(tuple(parts), self._matras(length, parts[-1]) if colon else Fraction(1))

    def _matras(self, text: str, before: Part) -> Fraction:
        """The length of a beat, and the join to the next one that may stand after it."""
        self._at += 1
        match = _LENGTH.fullmatch(text)
        if match is None:
            raise self._fault("after : stands a number of matras, such as 2 or 3/2")
        length, join = match.groups()
        if 0 in map(int, length.split("/")):
            raise self._fault("a beat takes more than nought matras")
        if join:
            self._at += len(length)
            self._take_join(join, before)
        return Fraction(length)

    def _take_join(self, join: str, before: Part) -> None:
        if before == REST or self._sounding is None:
            raise self._fault(f"before {join} stands the swara that it comes from")
        if self._join:
            raise self._no_target()
        self._join, self._join_at = join, self._at
        self._at += len(join)

    def _part(self, stop: int) -> Part:
        """The part that begins here."""
        character = self._text[self._at]
        if character in (HOLD, REST, CHIKARI):
            return self._sign(character)
        begun = self._at
        touches = self._touches(stop) if character == "(" else ()
        if self._at < stop and self._text[self._at] == "{":
            if touches:
                raise self._fault("a zamzama takes no touch before it")
            zamzama = self._zamzama(stop)
            return self._joined(self._struck(zamzama, stop, sways=False), begun)
        if touches and (self._at == stop or self._text[self._at] not in SWARAS):
            raise self._fault("after ) stands the swara that the touch belongs to")
        swara = self._swara(stop)
        if touches[-1:] == (swara,):
            raise self._fault(f"a touch of {swara} before {swara} cannot be heard", begun)
        return self._joined(self._struck(Tone(swara, touches=touches), stop), begun)

    def _struck(self, tone: Tone, stop: int, *, sways: bool = True) -> Tone:
        """The tone with the signs that stand after it."""
        match = _AFTER.match(self._text, self._at, stop)
        before, sway, after = match.groups() if match else ("", "", "")
        if sway not in _SWAYS:
            raise self._fault("write ~ for andolan or ~~ for gamak", self._at + len(before))
        if sway and not sways:
            raise self._fault("a zamzama does not swing as well", self._at + len(before))
        signs = before + after
        loud, bright = ("".join(filter(kind.__contains__, signs)) for kind in (_LOUD, _TONES))
        if loud not in _LOUD or bright not in _TONES:
            raise self._fault("a stroke takes one of ^ and _, and one of * and o")
        if signs and self._join:
            raise self._fault(
                f"{tone.swara} has no stroke of its own after {self._join}; "
                f"{signs[0]} stands after a swara that is struck"
            )
        self._at += len(signs) + len(sway)
        return replace(tone, sway=_SWAYS[sway], loud=_LOUD[loud], tone=_TONES[bright])

    def _sign(self, character: str) -> str:
        if self._join:
            raise self._no_target()
        if character == HOLD and self._sounding is None and not self._rested():
            raise self._fault("nothing sounds yet that could be held")
        if character == REST:
            self._sounding = None
        self._at += 1
        return character

    def _rested(self) -> bool:
        """Whether something stands before this: a rest can be held as well."""
        return bool(self._text[: self._at].replace(BAR, " ").strip())

    def _touches(self, stop: int) -> tuple[Swara, ...]:
        opened = self._at
        self._at += 1
        swaras = []
        while self._at < stop and self._text[self._at] != ")":
            swaras.append(self._swara(stop))
        if self._at == stop:
            raise self._fault("( is not closed by ) within its beat", opened)
        if not 1 <= len(swaras) <= MOST_TOUCHES:
            raise self._fault(f"between ( and ) stand one to {MOST_TOUCHES} swaras", opened)
        self._at += 1
        return tuple(swaras)

    def _zamzama(self, stop: int) -> Tone:
        opened = self._at
        self._at += 1
        swaras = []
        while self._at < stop and self._text[self._at] != "}":
            swaras.append(self._swara(stop))
        if self._at == stop or len(swaras) != 2 or swaras[0].steps >= swaras[1].steps:
            raise self._fault("between { and } stand two swaras, the lower first", opened)
        if swaras[1].steps - swaras[0].steps > FURTHEST_HAMMERED:
            raise self._fault(
                f"a zamzama reaches {FURTHEST_HAMMERED} semitones at most, as far as two fingers",
                opened,
            )
        self._at += 1
        return Tone(swaras[0], shaken=swaras[1])

    def _joined(self, tone: Tone, begun: int) -> Tone:
        """The tone with the join that led to it."""
        join, before = self._join, self._sounding
        self._join, self._sounding = "", tone.swara
        if not join or before is None:
            self._pulled = [tone.swara]
            return tone
        rise = tone.swara.steps - before.steps
        if (join in UPWARD and rise <= 0) or (join in DOWNWARD and rise >= 0):
            way = "up" if join in UPWARD else "down"
            raise self._fault(f"{join} leads {way}, but {before} to {tone.swara} does not", begun)
        if tone.touches:
            raise self._fault("a swara that is joined to another takes no touch before it", begun)
        self._pulled = [*self._pulled, tone.swara] if join in MEENDS else [tone.swara]
        steps = [swara.steps for swara in self._pulled]
        span = ornaments()["meend"].parameters["span"].most
        if max(steps) - min(steps) > span:
            raise self._fault(
                f"a meend reaches {span} semitones from its fret at most; "
                "write // or \\\\ to slide along the frets",
                begun,
            )
        return replace(tone, by=join)

    def _swara(self, stop: int) -> Swara:
        where, character = self._at, self._text[self._at]
        if character in KEPT_FOR_LATER:
            raise self._fault(f"{character} is kept for later and means nothing yet; leave it out")
        if character not in SWARAS:
            raise self._fault(f"{character!r} is not a swara; {_hint(character)}")
        match = re.compile("'+|,+").match(self._text, where + 1, stop)
        marks = match.group() if match else ""
        self._at = where + 1 + len(marks)
        if self._at < stop and self._text[self._at] in "',":
            raise self._fault("a note is marked upper (') or lower (,), not both")
        if len(marks) > FURTHEST_OCTAVE:
            raise self._fault(
                f"more than {FURTHEST_OCTAVE} octaves away cannot be played",
                where + 1 + FURTHEST_OCTAVE,
            )
        return Swara.read(character + marks)

    def _no_target(self) -> SargamError:
        return self._fault(f"after {self._join} stands the swara that it leads to", self._join_at)

    def _fault(self, message: str, position: int | None = None) -> SargamError:
        return SargamError(
            message, text=self._text, position=self._at if position is None else position
        )


def _hint(character: str) -> str:
    if character in ("s", "p"):
        return f"{character.upper()} has no komal form: write {character.upper()}"
    if character in "',":
        return "an octave mark stands after its swara, as in S'"
    if character == "’":
        return "write the straight mark ' for the upper octave"
    if _JOIN.match(character):
        return f"{character} joins two swaras, as in S/R"
    if character == "~":
        return "~ stands after the swara that swings"
    if character in _STRUCK:
        return f"{character} stands after the swara that is struck {_STRUCK[character]}"
    if character in ")}":
        return f"{character} closes nothing here"
    return f"write one of {' '.join(SWARAS)} (small letters are komal, m shuddha and M tivra Ma)"


def write(line: Line) -> str:
    """The line in writing; `parse` reads it back as the same line."""
    words: list[str] = []
    last_beat: int | None = None
    for item in line.items:
        if isinstance(item, str):
            words.append(item)
            continue
        first = item.parts[0]
        if isinstance(first, Tone) and first.by and last_beat is not None:
            body, colon, length = words[last_beat].partition(":")
            words[last_beat] = body + first.by + colon + length
        last_beat = len(words)
        words.append(_write_beat(item))
    return " ".join(words)


def _write_beat(beat: Beat) -> str:
    written = [
        (part.by if index and isinstance(part, Tone) else "") + _write_part(part)
        for index, part in enumerate(beat.parts)
    ]
    return "".join(written) + ("" if beat.matras == 1 else f":{beat.matras}")


def _write_part(part: Part) -> str:
    if isinstance(part, str):
        return part
    struck = _LOUD_SIGNS[part.loud] + _TONE_SIGNS[part.tone]
    if part.shaken is not None:
        return f"{{{part.swara}{part.shaken}}}{struck}"
    touches = f"({''.join(map(str, part.touches))})" if part.touches else ""
    return f"{touches}{part.swara}{_SWAY_SIGNS[part.sway]}{struck}"
