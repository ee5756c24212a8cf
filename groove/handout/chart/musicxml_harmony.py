"""A chord as a MusicXML harmony element.

The kinds and their degrees: the value type kind-value of the MusicXML 4.0 specification. A
quality that has no kind of its own is the kind that needs the fewest degrees added, altered or
taken away, as the specification provides; of two the one that loses fewer, then the first in the
table.

Programs write a chord from its kind and its degrees: some show a degree even if it is marked as
not to be printed, others never show the kind's text. So the text is that of the kind alone, and
its degrees are printed: a C7b9 reads C7(b9), a C13 reads C9(13). The kind half-diminished is not
used: one importer reads it without its third.
"""

from __future__ import annotations

from functools import lru_cache
from xml.etree import ElementTree as ET

from groove.theory.chords import Chord
from groove.theory.pitch import Degree, NoteName, degrees
from groove.theory.quality import Quality

KINDS = {  # the suffix of each, and the degrees it holds
    "major": ("", "1 3 5"),
    "minor": ("m", "1 b3 5"),
    "augmented": ("+", "1 3 #5"),
    "diminished": ("dim", "1 b3 b5"),
    "dominant": ("7", "1 3 5 b7"),
    "major-seventh": ("maj7", "1 3 5 7"),
    "minor-seventh": ("m7", "1 b3 5 b7"),
    "diminished-seventh": ("dim7", "1 b3 b5 bb7"),
    "augmented-seventh": ("7#5", "1 3 #5 b7"),
    "major-minor": ("m(maj7)", "1 b3 5 7"),
    "major-sixth": ("6", "1 3 5 6"),
    "minor-sixth": ("m6", "1 b3 5 6"),
    "dominant-13th": ("13", "1 3 5 b7 9 11 13"),
    "major-13th": ("maj13", "1 3 5 7 9 11 13"),
    "minor-13th": ("m13", "1 b3 5 b7 9 11 13"),
    "dominant-ninth": ("9", "1 3 5 b7 9"),
    "major-ninth": ("maj9", "1 3 5 7 9"),
    "minor-ninth": ("m9", "1 b3 5 b7 9"),
    "dominant-11th": ("11", "1 3 5 b7 9 11"),
    "major-11th": ("maj11", "1 3 5 7 9 11"),
    "minor-11th": ("m11", "1 b3 5 b7 9 11"),
    "suspended-second": ("sus2", "1 2 5"),
    "suspended-fourth": ("sus4", "1 4 5"),
    "power": ("5", "1 5"),
}
ADDED_FROM = {number: Degree(number, -1 if number == 7 else 0) for number in range(1, 14)}
SUSPENDED = (Degree(2), Degree(4))
Change = tuple[str, Degree, int]


def harmony(chord: Chord) -> ET.Element:
    """The harmony element of a chord."""
    element = ET.Element("harmony", {"print-frame": "no"})
    _note(element, "root", chord.root)
    kind, changes = kind_of(chord.quality)
    text = KINDS[kind][0] if changes else chord.quality.suffix
    ET.SubElement(element, "kind", text=text).text = kind
    if chord.bass:
        _note(element, "bass", chord.bass)
    for number, (what, degree, alter) in enumerate(changes):
        changed = ET.SubElement(element, "degree")
        ET.SubElement(changed, "degree-value").text = str(degree.number)
        ET.SubElement(changed, "degree-alter").text = str(alter)
        said = ET.SubElement(changed, "degree-type")
        said.text = what
        word = "no" if what == "subtract" else "sus" if degree in SUSPENDED else ""
        if number or word:  # the first says by itself that it is added; a space parts the others
            said.set("text", f" {word}" if number else word)
    return element


def no_chord() -> ET.Element:
    """The harmony element of N.C.: of the kind ``none``, whose root has no meaning."""
    element = ET.Element("harmony", {"print-frame": "no"})
    root = ET.SubElement(element, "root")
    ET.SubElement(root, "root-step", text="").text = "C"
    ET.SubElement(element, "kind", text="N.C.").text = "none"
    return element


def _note(element: ET.Element, tag: str, name: NoteName) -> None:
    note = ET.SubElement(element, tag)
    ET.SubElement(note, f"{tag}-step").text = name.letter
    if name.sharps:
        ET.SubElement(note, f"{tag}-alter").text = str(name.sharps)


@lru_cache(maxsize=512)
def kind_of(quality: Quality) -> tuple[str, tuple[Change, ...]]:
    """The kind of a quality, and the changes to that kind: ``add``, ``alter`` or ``subtract`` a
    degree, and by how many semitones."""
    choices = {kind: _changes(quality, degrees(held)) for kind, (_, held) in KINDS.items()}

    def strain(kind: str) -> tuple[bool, int, int]:
        # Programs disagree on which seventh is added where the specification says the minor one.
        adds_seventh = any(what == "add" and d.number == 7 for what, d, _ in choices[kind])
        left_out = sum(what == "subtract" for what, _, _ in choices[kind])
        return adds_seventh, len(choices[kind]), left_out

    kind = min(choices, key=strain)
    return kind, choices[kind]


def _changes(quality: Quality, content: tuple[Degree, ...]) -> tuple[Change, ...]:
    wanted, given = set(quality.degrees), set(content)
    changes: list[Change] = []
    extra, lacking = sorted(given - wanted), sorted(wanted - given)
    for degree in list(extra):
        other = next((d for d in lacking if d.number == degree.number), None)
        if other:
            extra.remove(degree)
            lacking.remove(other)
            changes.append(("alter", degree, other.alter - degree.alter))
    for degree in lacking:
        changes.append(("add", degree, degree.alter - ADDED_FROM[degree.number].alter))
    changes += [("subtract", degree, 0) for degree in extra]
    return tuple(changes)
