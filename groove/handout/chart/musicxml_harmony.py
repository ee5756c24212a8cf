"""A chord as a MusicXML harmony element.

The kinds and what they hold: the value type kind-value of the MusicXML 4.0 specification. A
quality that has no kind of its own is the kind that needs the fewest degrees added, altered or
taken away, as the specification provides; of two the first in the table, a thirteenth before a
ninth.
"""

from __future__ import annotations

from functools import lru_cache
from xml.etree import ElementTree as ET

from groove.theory.chords import Chord
from groove.theory.pitch import Degree, NoteName, degrees
from groove.theory.quality import Quality

KINDS = {
    "major": "1 3 5",
    "minor": "1 b3 5",
    "augmented": "1 3 #5",
    "diminished": "1 b3 b5",
    "dominant": "1 3 5 b7",
    "major-seventh": "1 3 5 7",
    "minor-seventh": "1 b3 5 b7",
    "diminished-seventh": "1 b3 b5 bb7",
    "augmented-seventh": "1 3 #5 b7",
    "half-diminished": "1 b3 b5 b7",
    "major-minor": "1 b3 5 7",
    "major-sixth": "1 3 5 6",
    "minor-sixth": "1 b3 5 6",
    "dominant-13th": "1 3 5 b7 9 11 13",
    "major-13th": "1 3 5 7 9 11 13",
    "minor-13th": "1 b3 5 b7 9 11 13",
    "dominant-ninth": "1 3 5 b7 9",
    "major-ninth": "1 3 5 7 9",
    "minor-ninth": "1 b3 5 b7 9",
    "dominant-11th": "1 3 5 b7 9 11",
    "major-11th": "1 3 5 7 9 11",
    "minor-11th": "1 b3 5 b7 9 11",
    "suspended-second": "1 2 5",
    "suspended-fourth": "1 4 5",
    "power": "1 5",
}
ADDED_FROM = {number: Degree(number, -1 if number == 7 else 0) for number in range(1, 14)}
Change = tuple[str, Degree, int]


def harmony(chord: Chord) -> ET.Element:
    """The harmony element of a chord."""
    element = ET.Element("harmony", {"print-frame": "no"})
    _note(element, "root", chord.root)
    kind, changes = kind_of(chord.quality)
    ET.SubElement(element, "kind", text=chord.quality.suffix).text = kind
    if chord.bass:
        _note(element, "bass", chord.bass)
    for what, degree, alter in changes:
        changed = ET.SubElement(element, "degree", {"print-object": "no"})
        ET.SubElement(changed, "degree-value").text = str(degree.number)
        ET.SubElement(changed, "degree-alter").text = str(alter)
        ET.SubElement(changed, "degree-type").text = what
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
    """The kind of a quality, and what to do to that kind: ``add``, ``alter`` or ``subtract`` a
    degree, and by how many semitones."""
    choices = {kind: _changes(quality, degrees(content)) for kind, content in KINDS.items()}

    def strain(kind: str) -> tuple[bool, int, int]:
        # Programs disagree on which seventh is added where the specification says the minor one.
        adds_seventh = any(what == "add" and d.number == 7 for what, d, _ in choices[kind])
        thirteenth = kind.endswith("13th")
        unfit = adds_seventh or (thirteenth and Degree(13) not in quality.degrees)
        left_out = sum(what == "subtract" for what, _, _ in choices[kind])
        return unfit, len(choices[kind]), 0 if thirteenth else left_out

    kind = min(choices, key=strain)
    return kind, choices[kind]


def _changes(quality: Quality, content: tuple[Degree, ...]) -> tuple[Change, ...]:
    wanted, given = set(quality.degrees), set(content)
    changes: list[Change] = []
    extra, lacking = sorted(given - wanted), sorted(wanted - given)
    for degree in extra:
        other = next((d for d in lacking if d.number == degree.number), None)
        if other:
            lacking.remove(other)
            changes.append(("alter", degree, other.alter - degree.alter))
        else:
            changes.append(("subtract", degree, 0))
    for degree in lacking:
        changes.append(("add", degree, degree.alter - ADDED_FROM[degree.number].alter))
    return tuple(changes)
