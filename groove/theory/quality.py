"""The quality of a chord: the degrees above its root, and its suffix in a symbol.

Where the trade spells one quality in many ways (``m7``, ``-7``, ``min7``) all are read and one is
written. Spellings and contents: common practice, the same as in Harte et al., Symbolic
Representation of Musical Chords, ISMIR 2005, wherever that vocabulary has the chord. As
players do, a thirteenth on a major third leaves the eleventh out.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from groove.errors import quoted
from groove.theory.pitch import Degree, degrees, plain_signs

TRIADS = {
    "": "1 3 5",
    "m": "1 b3 5",
    "dim": "1 b3 b5",
    "m7b5": "1 b3 b5",
    "+": "1 3 #5",
    "5": "1 5",
}
TRIAD_SPELLINGS = {
    "m7b5": r"ø|Ø|m7b5|min7b5|mi7b5|-7b5|m7-5|-7-5|m7\(b5\)|-7\(b5\)|min7\(b5\)",
    "dim": r"dim|Dim|DIM|o|°|º",
    "+": r"aug|Aug|AUG|\+5?",
    "maj": r"maj|Maj|MAJ|mj|Mj|ma(?!dd)|Ma(?!dd)|MA(?!DD)|M(?![iI])|\^",
    "m": r"min|Min|MIN|mi|Mi|MI|m|-",
    "5": r"5",
}
_TRIAD = re.compile("|".join(f"(?P<t{i}>{p})" for i, p in enumerate(TRIAD_SPELLINGS.values())))
_LATE_MAJOR = re.compile(r"(?:mj|Mj|maj|Maj|MAJ|ma(?!dd)|Ma(?!dd)|MA(?!DD)|M|\^)")
_AFTER_SEVEN = re.compile(r"mj|Mj|maj|Maj|MAJ|ma|Ma|MA|M")  # 7maj, as some write maj7
_IN_BRACKETS = re.compile(r"7\((?:9,?)?(9|11|13)\)")  # 7(13) is another way to write 13
_OTHER_WAYS = tuple(
    (re.compile(way), plain)
    for way, plain in (
        (r"[\[{]", "("),
        (r"[\]}]", ")"),
        (r"^dom(?:inant)?(?=\d)", ""),
        (r"^(maj|min)or", r"\1"),
        (r"^h(?:dim)?(?![a-z])", "ø"),
        (r"^(m|min|mi|-)\(?#7\)?(?!\d)", r"\1(maj7)"),
        (r"^((?:m|min|mi|-)?)\(b7\)", r"\g<1>7"),
        (r"(?i:sus)(?:24|2(?i:sus)4|4(?i:sus)?2)", "sus4add9"),
        (r"^(?i:sus)(7|9|13)(?!\d)", r"\1sus4"),
        (r"(?<=\d)\(?dim5\)?", "b5"),
    )
)
_NATURAL = re.compile(r"(?:(?<=[0-57-9s])|(?<=\d\)))[(,](?=(?:13|11|9)(?!\d))")  # 7(b9,13): no b913
_EXTENSION = re.compile(r"6/9|69|7M(?![aAj])|13|11|9|7|6|2")
_CHANGE = re.compile(
    r"(?P<sus>(?i:sus)[24]?)|(?P<alt>(?i:alt))|(?P<add>(?i:add))(?P<added>[b#]?(?:13|11|9|6|4|2)|3)"
    r"|(?P<no>(?i:no|omit))(?P<left_out>13|11|[13579])"
    r"|(?P<sign>[b#+-])(?P<altered>13|11|10|9|6|5|4)|,(?P<natural>13|11|9)"
    r"|(?P<aug>(?i:aug)|\+)"
)
_EXTENDED = {"7": "", "9": "9", "11": "9 11", "13": "9 13"}
_SAME_ALTERATION = {"#4": "#11", "b10": "#9"}
_ALLOWED_ALTERATIONS = {"b5", "#5", "b9", "#9", "#11", "b13"}
_ALTERED = "b9 #9 #11 b13"


@dataclass(frozen=True, slots=True)
class Quality:
    """The degrees of a chord from its root up, and the suffix that is written for them."""

    degrees: tuple[Degree, ...]
    suffix: str

    def of_step(self, *steps: int) -> Degree | None:
        """The first degree whose number is one of ``steps``, in the order asked."""
        for step in steps:
            for degree in self.degrees:
                if degree.number == step:
                    return degree
        return None

    @property
    def third(self) -> Degree | None:
        """The third, or the fourth or second that a suspension puts in its place."""
        return self.of_step(3, 4, 2)

    @property
    def fifth(self) -> Degree | None:
        """The fifth as the chord alters it; an altered chord has its b13 there."""
        return self.of_step(5) or next((d for d in self.degrees if str(d) == "b13"), None)

    @property
    def seventh(self) -> Degree | None:
        """The seventh, or the sixth of a sixth chord."""
        return self.of_step(7, 6)

    @property
    def guide_tones(self) -> tuple[Degree, ...]:
        """Third and seventh: the tones that distinguish this chord from others."""
        return tuple(d for d in (self.third, self.seventh) if d is not None)

    @property
    def is_minor(self) -> bool:
        """True if the third is minor."""
        return self.third == Degree(3, -1)

    @property
    def is_dominant(self) -> bool:
        """A major third, or a suspension of it, under a minor seventh."""
        return not self.is_minor and self.of_step(7) == Degree(7, -1)


@lru_cache(maxsize=1024)
def parse_quality(suffix: str) -> Quality:
    """Read the suffix that follows the root of a symbol, ``"m7b5"`` or ``"7#9"``.

    Raises ValueError where a part of it can't be read or contradicts another part.
    """
    rest = plain_signs(suffix)
    for way, plain in _OTHER_WAYS:
        rest = way.sub(plain, rest)
    rest = _IN_BRACKETS.sub(r"\1", rest)
    if _LATE_MAJOR.match(rest.lstrip("(")):
        rest = rest.lstrip("(")
    triad, major = "", False
    match = _TRIAD.match(rest)
    if match:
        triad = list(TRIAD_SPELLINGS)[int((match.lastgroup or "t0")[1:])]
        if triad == "maj":
            triad, major = "", True
        rest = rest[match.end() :]
    triangle = major and match is not None and match[0] == "^"
    rest = _NATURAL.sub("&", rest.replace("&", "?"))
    rest = re.sub(r"[(),\s]", "", rest).replace("&", ",")
    late = _LATE_MAJOR.match(rest)
    if late and triad in ("m", "dim", "+"):
        major, triangle = True, late[0] == "^"
        rest = rest[late.end() :]
    match = _EXTENSION.match(rest)
    extension = match[0] if match else ""
    rest = rest[len(extension) :]
    if extension == "7M":
        extension, major = "7", True
    if extension == "7" and triad == "" and not major and _AFTER_SEVEN.fullmatch(rest):
        major, rest = True, ""
    if triad == "m7b5" or (triangle and not extension):
        extension = extension or "7"
    tones = _Tones(triad, extension, major)
    while rest:
        match = _CHANGE.match(rest)
        if not match:
            raise ValueError(f"{quoted(rest)} is not known")
        tones.change(match)
        rest = rest[match.end() :]
    return tones.quality()


class _Tones:
    """The degrees of a quality while its suffix is read from left to right."""

    def __init__(self, triad: str, extension: str, major: bool) -> None:
        self.triad, self.extension, self.major = triad, extension, major
        self.tones = list(degrees(TRIADS[triad]))
        self.changes: list[str] = []
        self.suspended = ""
        if extension in _EXTENDED:
            self.tones.append(self._seventh())
            self.tones += degrees(_EXTENDED[extension])
            if extension == "13" and triad in ("m", "m7b5"):
                self.tones.append(Degree(11))
        elif extension in ("6", "69", "6/9"):
            self.tones += degrees("6" if extension == "6" else "6 9")
        elif extension == "2":
            self.extension = ""
            self._add(Degree(9))
        if triad == "5" and extension:
            raise ValueError("a power chord (5) has no other notes")

    def _seventh(self) -> Degree:
        if self.major:
            return Degree(7)
        return Degree(7, -2) if self.triad == "dim" else Degree(7, -1)

    def _drop(self, number: int) -> None:
        self.tones = [tone for tone in self.tones if tone.number != number]

    def change(self, match: re.Match[str]) -> None:
        """Apply one part after the extension: sus, add, no, alt or an altered degree."""
        if "alt" in self.changes:
            raise ValueError("nothing stands after alt, which alters all there is")
        if match["sus"]:
            if self.suspended:
                raise ValueError(f"{self.suspended} is already in the chord")
            number = 2 if match["sus"].endswith("2") else 4
            if f"add{number + 7}" in self.changes:
                raise ValueError(f"sus{number} is already in the chord as {number + 7}")
            self._drop(3)
            redundant = {Degree(number + 7)}
            if self.extension == "13" and self.triad:
                redundant.add(Degree(11))  # the suffix named it with the minor third, which is gone
            self.tones = [tone for tone in self.tones if tone not in redundant]
            self.tones.append(Degree(number))
            self.suspended = f"sus{number}"
        elif match["alt"]:
            if self.triad or self.major or self.suspended or self.changes:
                raise ValueError("alt belongs to a dominant chord, as in A7alt")
            if self.extension not in ("", "7"):
                raise ValueError("alt belongs to a dominant chord, as in A7alt")
            self.tones = list(degrees("1 3 b7 " + _ALTERED))
            self.extension = "7"
            self.changes.append("alt")
        elif match["add"]:
            added = Degree.parse(match["added"])
            number = added.number + 7 if added.number in (2, 4) else added.number
            self._add(Degree(number, added.alter))
        elif match["natural"]:
            self._extend(match["natural"])
        elif match["no"]:
            if match["left_out"] == "1":
                raise ValueError("no chord is without its root, for the bass plays it")
            if f"no{match['left_out']}" in self.changes:
                raise ValueError(f"no{match['left_out']} is there twice")
            self._drop(int(match["left_out"]))
            self.changes.append(f"no{match['left_out']}")
        else:
            sign = {"+": "#", "-": "b"}.get(match["sign"] or "+", match["sign"])
            altered = f"{sign}{match['altered'] or 5}"
            altered = _SAME_ALTERATION.get(altered, altered)
            if altered == "b6" and self.extension not in _EXTENDED:
                self._add(Degree.parse(altered))
                return
            altered = altered.replace("b6", "b13")
            if altered not in _ALLOWED_ALTERATIONS:
                raise ValueError(f"{altered} is no alteration; there are b5 #5 b9 #9 #11 b13")
            self._alter(Degree.parse(altered))

    def _extend(self, figure: str) -> None:
        """Take a natural 9, 11 or 13 in brackets as the chord's extension: 7(b9,13) is 13b9."""
        degree = Degree(int(figure))
        if self.extension == "6" and figure == "9":
            self.extension = "69"
        elif self.extension not in _EXTENDED:
            self._add(degree)
            return
        elif degree in self.tones or int(figure) < int(self.extension):
            raise ValueError(f"{figure} is already in the chord")
        else:
            if (figure, self.extension) == ("13", "11"):
                self.changes.append("add11")
            self.extension = figure
        numbers = {tone.number for tone in self.tones}
        new = list(degrees(_EXTENDED.get(figure, "9")))
        if figure == "13" and self.triad in ("m", "m7b5"):
            new.append(Degree(11))
        held = {"sus4": 11, "sus2": 9}.get(self.suspended)
        self.tones += [tone for tone in new if tone.number not in {*numbers, held}]

    def _add(self, added: Degree) -> None:
        if added.semitones % 12 in {tone.semitones % 12 for tone in self.tones}:
            raise ValueError(f"{added} is already in the chord")
        self.tones.append(added)
        self.changes.append(f"add{added}")

    def _alter(self, altered: Degree) -> None:
        natural = Degree(altered.number)
        flat_fifth_in_triad = altered == Degree(5, -1) and self.triad in ("dim", "m7b5")
        if flat_fifth_in_triad or altered in self.tones:
            raise ValueError(f"{altered} is already in the chord")
        if altered.number == 5:
            self._drop(5)
        else:
            self.tones = [tone for tone in self.tones if tone != natural]
        self.tones.append(altered)
        self.changes.append(str(altered))

    def quality(self) -> Quality:
        tones = tuple(sorted(set(self.tones)))
        return Quality(tones, self._suffix())

    def _suffix(self) -> str:
        triad, extension, changes = self.triad, self.extension, list(self.changes)
        if triad == "m" and self.suspended:
            triad = ""
        if triad == "m7b5":
            triad = "" if self.suspended else "m"
            changes.insert(0, "b5")
        if triad == "+" and extension:
            triad = ""
            changes.insert(0, "#5")
        if extension in ("69", "6/9"):
            extension = "6/9"
        if self.major and extension:
            extension = f"maj{extension}" if not triad else f"(maj{extension})"
            if extension.startswith("maj6"):
                extension = extension.removeprefix("maj")
        if not triad and not extension and changes[:1] and changes[0][0] in "b#":
            changes[0] = f"({changes[0]})"  # a bare sign would be read with the root
        return triad + extension + self.suspended + "".join(changes)
