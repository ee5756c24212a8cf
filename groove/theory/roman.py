"""Roman numerals: chords by their degree in a key.

A numeral counts from the major scale on the tonic, in minor keys too, as players of
improvised music count: ``bVI`` of A minor is F (common practice). Capitals carry a major
third, small letters a minor one; what follows is the quality as in a chord symbol. After a
slash stands either another numeral, whose chord is the goal (``V7/V``), or a degree of the
chord for the bass (``I/3``): the chord's own third in ``ii7/3``, its minor seventh in ``V7/7``.
Both may stand there, the goal first: ``V7/V/3`` is the V7 of V over its third. A goal may have a
goal: ``V7/V/V``.

The figures of figured bass that mean nothing else are read: ``V6/5`` or ``V65`` as ``V7/3``,
``V43`` as ``V7/5``, ``V42`` as ``V7/7``, ``I64`` as ``I/5``; but ``I6`` is a sixth chord and ``V2``
has an added ninth, as on lead sheets (common practice). ``N6`` is ``bII/3``; ``It6``, ``Ger65`` and
``Fr43`` are ``bVI7no5``, ``bVI7`` and ``bVI7b5``; ``Cad64`` is the tonic chord over its fifth.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache

from groove.errors import quoted
from groove.theory.chords import LONGEST_SYMBOL, Chord
from groove.theory.keys import Key
from groove.theory.near_miss import meant
from groove.theory.pitch import SHARPEN, Degree, NoteName, plain_signs
from groove.theory.quality import Quality, parse_quality
from groove.theory.spelling import respelled

NUMERALS = ("I", "II", "III", "IV", "V", "VI", "VII")
EXAMPLES = "I7, ii7, bIII7, #IVdim7, V7alt, bVImaj7, V7/V, I/3, V7/V/3"
_NUMERAL = re.compile(r"([b#]{0,2})(VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i)(?![IViv])(.*)")
_TARGET = re.compile(r"([b#]{0,2})(VII|VI|IV|V|III|II|I)", re.IGNORECASE)
_GOAL = r"((?:/[b#]*[IVXiv]+)*)"
_FIGURED = re.compile(
    r"([oø+°ºØ]|dim)?(6/?5|6/?4|6/?3|4/?3|4/?2|5/?3)((?:\([^()/]*\)|\[[^\[\]/]*\])*)" + _GOAL
)
_SIXTH_OR_NINTH = re.compile(r"([b#]*[IViv]+)([oø+°ºØ]|dim)?([62])" + _GOAL)
_HALF_DIMINISHED = re.compile(r"(?<=[IViv])(?:/o|%)(?=[\d/(\[]|$)")  # vii/o7, ii%65
_CADENTIAL = re.compile(r"Cad(?:6/?4)?")
_NAMED = (
    (re.compile(r"N6" + _GOAL), "bII", "/3"),
    (re.compile(r"It\+?6?" + _GOAL), "bVI7no5", ""),
    (re.compile(r"Ge?r\+?(?:6/?5|6)?" + _GOAL), "bVI7", ""),
    (re.compile(r"Fr\+?(?:4/?3|6)?" + _GOAL), "bVI7b5", ""),
)  # the sixth of an augmented sixth chord is spelled as the seventh of a dominant
_INVERSIONS = {
    "53": "", "6": "/3", "63": "/3", "64": "/5", "65": "7/3", "43": "7/5", "42": "7/7", "2": "7/7",
}  # fmt: skip
_MAJOR_SEVENTHS = ("I", "IV", "bII", "bIII", "bVI")  # the scale has a major seventh on them
_MINOR_ALREADY = re.compile(r"m(?!aj|a(?!dd))|M[iI]|-|o|°|º|ø|Ø|dim|Dim|DIM")


@dataclass(frozen=True, slots=True)
class Numeral:
    """A chord relative to a key: degree, quality, goal of a secondary chord, bass degree."""

    text: str
    degree: Degree
    quality: Quality
    of: Degree | None = None
    bass: Degree | None = None

    @property
    def inversion(self) -> str | None:
        """The inversion that V6 or V2 is in figured bass, as written here; None without a figure.

        >>> parse_numeral("V6").inversion, parse_numeral("V2").inversion
        ('V/3', 'V7/7')
        """
        figured = _SIXTH_OR_NINTH.fullmatch(plain_signs(self.text))
        return _inversion(*figured.groups("")) if figured else None

    def chord(self, key: Key) -> Chord:
        """The chord in a key, spelled as it is read there.

        >>> [str(parse_numeral("bII7").chord(Key.parse(key))) for key in ("A", "Db")]
        ['Bb7', 'D7']
        """
        if key.mode == "minor" and _CADENTIAL.fullmatch(self.text):
            return parse_numeral("i/5").chord(key)
        home: NoteName = key.tonic
        if self.of:  # the goal as it is written, so that the way to it is spelled to match
            home = respelled(Chord(key.tonic + self.of, parse_quality("")), key).root
        root = home + self.degree
        chord = Chord(root, self.quality, root + self.bass if self.bass else None)
        return respelled(chord, key)


def is_numeral(text: str) -> bool:
    """True if a chord is written as a numeral (and not as an absolute symbol)."""
    return re.match(r"[b#♭♯]*[IVXiv]|Cad(?!d)|N6|Ge?r|Fr", text) is not None


@lru_cache(maxsize=4096)
def parse_numeral(text: str) -> Numeral:
    """Read a Roman numeral; raises ValueError, saying what can't be read, for others."""
    if len(text) > LONGEST_SYMBOL:
        raise ValueError(f"numeral {quoted(text)} is too long; numerals look like {EXAMPLES}")
    match = _NUMERAL.fullmatch(_as_numeral(plain_signs(text)))
    if not match:
        raise ValueError(f"numeral {quoted(text)} can't be read; numerals look like {EXAMPLES}")
    signs, letters, suffix = match.groups()
    figured = _FIGURED.fullmatch(suffix)
    if figured:
        sign, figures, extra, goal = figured.groups("")
        meaning = _inversion(signs + letters, sign, figures, extra + goal)
        return replace(parse_numeral(meaning), text=text)
    bass = None
    goals: list[Degree] = []
    upper, slash, lower = suffix.rpartition("/")
    if slash and not (lower.startswith("9") and upper.endswith("6")):
        if not _TARGET.fullmatch(lower):
            try:
                bass = Degree.parse(lower)
            except ValueError:
                raise ValueError(
                    f"numeral {quoted(text)}: after the slash stands a numeral (V7/V) or a degree "
                    f"of the chord for the bass (I/3), not {quoted(lower)}"
                ) from None
            suffix = upper
        while "/" in suffix and (found := _TARGET.fullmatch(suffix.rpartition("/")[2])):
            goals.append(_degree(found[1], found[2]))
            suffix = suffix.rpartition("/")[0]
    if letters.islower() and suffix != "5" and not _MINOR_ALREADY.match(suffix):
        suffix = "m" + suffix
    try:
        quality = parse_quality(suffix)
    except ValueError as error:
        near = meant(match[3])
        right = (
            f"did you mean {signs}{letters}{near}?" if near else f"numerals look like {EXAMPLES}"
        )
        raise ValueError(f"numeral {quoted(text)} can't be read: {error}; {right}") from None
    if bass is not None and bass.alter == 0:
        bass = quality.of_step(bass.number, bass.step, bass.step + 7) or bass
    if bass is not None and bass.fifths == 0:
        bass = None
    return Numeral(text, _degree(signs, letters), quality, _sum(goals), bass)


def _as_numeral(text: str) -> str:
    """The text with a chord that has a name, Ger65 or N6, as its numeral."""
    if _CADENTIAL.fullmatch(text):
        return "I/5"
    for name, chord, bass in _NAMED:
        if match := name.fullmatch(text):
            return chord + match[1] + bass
    return _HALF_DIMINISHED.sub("ø", text)


def _sum(goals: list[Degree]) -> Degree | None:
    """The degree at the end of a way of degrees, II for V of V; None without one."""
    if not goals:
        return None
    plain = Degree(sum(goal.step - 1 for goal in goals) % 7 + 1)
    fifths = sum(goal.fifths for goal in goals)
    return Degree(plain.number, (fifths - plain.fifths) // SHARPEN)


def _degree(signs: str, letters: str) -> Degree:
    return Degree(NUMERALS.index(letters.upper()) + 1, signs.count("#") - signs.count("b"))


def _inversion(numeral: str, sign: str, figures: str, goal: str) -> str:
    """A chord in figured bass as it is written here: V7/V/3 for V65/V."""
    seventh, slash, bass = _INVERSIONS[figures.replace("/", "")].partition("/")
    if seventh and not sign and numeral in _MAJOR_SEVENTHS:
        sign = "maj"
    return numeral + sign + seventh + goal + slash + bass
