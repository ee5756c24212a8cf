"""Every shape of the library sounds the degrees written, and one hand can hold it."""

from __future__ import annotations

from itertools import pairwise

import pytest

from groove import library
from groove.band.guitar import shape_library
from groove.band.guitar.shape_library import Shape, group
from groove.rhythm.patterns import PatternError
from groove.theory.chords import parse_chord
from groove.theory.quality import Quality, parse_quality

OPEN_STRINGS = {1: 64, 2: 59, 3: 55, 4: 50, 5: 45, 6: 40}  # E4 B3 G3 D3 A2 E2 (common practice)
SPAN = 4  # frets
FIGURES = ("figures", "open-figures")  # two strings of a chord, not always its guide tones
SHAPES = [(name, shape) for name in library.names("guitar") for shape in group(name).shapes]


def quality(shape: Shape) -> Quality:
    return parse_quality(shape.chord) if shape.movable else parse_chord(shape.chord).quality


def by_finger(shape: Shape) -> dict[int, list[int]]:
    """The places in a shape that each finger holds, the index first."""
    fingers = sorted(set(shape.fingers) - {0})
    return {f: [n for n, each in enumerate(shape.fingers) if each == f] for f in fingers}


def test_each_string_sounds_the_degree_that_is_written_for_it() -> None:
    for name, shape in SHAPES:
        for string, fret, degree in zip(shape.strings, shape.frets, shape.degrees, strict=True):
            sounds = (OPEN_STRINGS[string] + fret - shape.root) % 12
            assert sounds == degree.semitones % 12, (name, shape)


def test_a_shape_sounds_tones_of_its_chord_and_its_guide_tones() -> None:
    """Third and seventh, or what stands in their place (common practice)."""
    for name, shape in SHAPES:
        tones = {degree.semitones % 12 for degree in shape.degrees}
        assert tones <= {d.semitones % 12 for d in quality(shape).degrees}, (name, shape)
        if name not in FIGURES:
            assert {d.semitones % 12 for d in quality(shape).guide_tones} <= tones, (name, shape)


def test_pitches_rise_from_string_to_string() -> None:
    for name, shape in SHAPES:
        assert all(low < high for low, high in pairwise(shape.pitches)), (name, shape)
        assert list(shape.strings) == sorted(set(shape.strings), reverse=True), (name, shape)


def test_a_hand_spans_four_frets() -> None:
    for name, shape in SHAPES:
        pressed = [fret for fret in shape.frets if fret]
        assert max(pressed, default=0) - min(pressed, default=0) < SPAN, (name, shape)


def test_every_pressed_string_has_a_finger_and_no_open_one_has() -> None:
    for name, shape in SHAPES:
        assert all(
            (finger in (1, 2, 3, 4)) if fret else finger == 0
            for fret, finger in zip(shape.frets, shape.fingers, strict=True)
        ), (name, shape)


def test_a_finger_lies_on_one_fret_and_on_no_string_that_sounds_lower() -> None:
    for name, shape in SHAPES:
        for held in by_finger(shape).values():
            frets = {shape.frets[place] for place in held}
            assert len(frets) == 1, (name, shape)
            under = shape.frets[held[0] : held[-1] + 1]
            assert min(under) >= min(frets), (name, shape)


def test_fingers_do_not_cross() -> None:
    """A finger further from the index holds the same fret or a higher one."""
    for name, shape in SHAPES:
        frets = [shape.frets[held[0]] for held in by_finger(shape).values()]
        assert frets == sorted(frets), (name, shape)


def test_movable_shapes_are_written_as_low_as_they_go() -> None:
    for name, shape in SHAPES:
        if shape.movable:
            assert min(shape.frets) == 1, (name, shape)


def test_no_four_voices_of_a_seventh_lie_in_close_position() -> None:
    """Four tones within an octave, which the hand has to stretch for (common practice)."""
    for name, shape in SHAPES:
        whole = len({degree.semitones % 12 for degree in shape.degrees}) == len(shape.degrees) == 4
        if whole and quality(shape).seventh:
            assert shape.pitches[-1] - shape.pitches[0] >= 12, (name, shape)


def test_the_shapes_of_the_books_are_there() -> None:
    """Open G, the barre of E and A, the shell of a seventh, the ninth of funk, the drop-two
    seventh on the upper four strings (common practice)."""
    known = {(name, shape.chord, shape.frets) for name, shape in SHAPES}
    assert {
        ("open", "G", (3, 2, 0, 0, 0, 3)),
        ("open", "C", (3, 2, 0, 1, 0)),
        ("barres", "m", (1, 3, 3, 1, 1, 1)),
        ("barres", "7", (1, 3, 1, 3, 1)),
        ("shells", "7", (1, 1, 2)),
        ("ninths", "9", (2, 1, 2, 2, 2)),
        ("drop-two", "maj7", (1, 3, 3, 3)),
        ("top-triads", "", (3, 3, 1)),
        ("power", "5", (1, 3, 3)),
    } <= known


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"frets": "1 3 3 2 1"}, "6 words are needed"),
        ({"frets": "1 3 3 2 1 q"}, "numbers and x are allowed"),
        ({"degrees": "1 5 1 3 5 ."}, "one for each fret"),
        ({"degrees": "1 5 1 b3 5 1"}, "don't sound"),
        ({"colour": "red"}, "colour: unknown key"),
    ],
)
def test_a_faulty_shape_is_refused_with_its_file(
    changes: dict[str, str], message: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    right = {
        "chord": "",
        "frets": "1 3 3 2 1 1",
        "fingers": "1 3 4 2 1 1",
        "degrees": "1 5 1 3 5 1",
    }
    content = {"title": "T", "about": "a", "movable": True, "shapes": [right | changes]}
    monkeypatch.setattr(shape_library.library, "load", lambda kind, name: content)
    with pytest.raises(PatternError, match=message) as raised:
        shape_library.group.__wrapped__("barres")
    assert str(raised.value).startswith("patterns/guitar/barres.toml: shapes 1: ")
