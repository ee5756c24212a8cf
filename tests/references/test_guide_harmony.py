"""The guide against the facts of harmony that stand in theory handbooks, and against music21."""

import pytest
from music21 import chord as m21chord
from music21 import harmony as m21harmony
from music21 import interval as m21interval
from music21 import pitch as m21pitch

import groove
from groove.lesson.form_scales import Choice
from groove.lesson.guide import Guide, write_guide
from groove.theory.chords import parse_chord
from groove.theory.heard import heard
from groove.theory.pitch import NoteName
from groove.theory.scales import SCALES
from tests.references.scale_material import SAME, theirs

KEYS = ("C", "G", "D", "A", "E", "B", "F#", "F", "Bb", "Eb", "Ab", "Db")


def blues(key: str = "A") -> Guide:
    return write_guide(groove.read_form("twelve-bar", key=key))


def names(choice: Choice) -> str:
    return " ".join(str(note) for note in choice.notes)


def music21_name(name: object) -> str:
    return str(name).replace("b", "-")


def chord_choices(guide: Guide, chord: str) -> list[str]:
    return next([c.title for c in e.choices] for e in guide.chords if str(e.chord) == chord)


def test_chords_of_a_blues_in_a() -> None:
    """A7 · D7 · E7: A C# E G · D F# A C · E G# B D. Source: common practice."""
    tones = {str(e.chord): " ".join(str(t.name) for t in e.tones) for e in blues().chords}
    assert tones == {"A7": "A C# E G", "D7": "D F# A C", "E7": "E G# B D"}


@pytest.mark.parametrize(
    ("name", "bars"),
    [
        ("twelve-bar", "I I I I IV IV I I V IV I I"),
        ("quick-change-twelve-bar", "I IV I I IV IV I I V IV I V"),
    ],
)
def test_form_of_the_twelve_bar_blues(name: str, bars: str) -> None:
    """I I I I · IV IV I I · V IV I I; quick change: IV in bar 2; turnaround: V in bar 12.

    Source: common practice.
    """
    guide = write_guide(groove.read_form(name))
    numerals = {e.chord: e.numeral.removesuffix("7") for e in guide.chords}
    found = [
        numerals[chord]
        for chord, length in zip(guide.sequence, guide.lengths, strict=True)
        for _ in range(int(length))
    ]
    assert " ".join(found) == bars


@pytest.mark.parametrize("key", KEYS)
def test_over_a_dominant_blues(key: str) -> None:
    """Key's minor pentatonic throughout, its major pentatonic on I, V's pentatonics over V.

    Source: common practice.
    """
    guide = blues(key)
    one, _, five = (e.chord for e in guide.chords)
    wanted = [
        (guide.harmony.key.tonic, "minor pentatonic", ()),
        (guide.harmony.key.tonic, "major pentatonic", (one,)),
        (five.root, "minor pentatonic", (five,)),
        (five.root, "major pentatonic", (five,)),
    ]
    found = [(c.root, c.scale, c.over) for c in guide.choices if "pentatonic" in c.scale]
    assert found == wanted


@pytest.mark.parametrize("chord", ["A7", "D7", "E7"])
def test_each_chord_of_a_dominant_blues_has_its_arpeggio_and_mixolydian(chord: str) -> None:
    """Each chord's seventh arpeggio or mixolydian. Source: common practice."""
    root = chord[0]
    assert {f"{chord} arpeggio", f"{root} mixolydian"} <= set(chord_choices(blues(), chord))


def test_after_the_five_the_scale_of_home_again_on_four_and_one() -> None:
    """Over V, V's major or minor pentatonic, then home again on IV and I.

    Source: common practice.
    """
    guide = blues()
    for chord in ("D7", "A7"):
        titles = chord_choices(guide, chord)
        assert "A minor pentatonic" in titles
        assert "E minor pentatonic" not in titles
        assert "E major pentatonic" not in titles


@pytest.mark.parametrize("form", ["rhythm-changes", "jazz-twelve-bar", "minor-twelve-bar"])
@pytest.mark.parametrize("key", ["C", "F#", "Eb"])
def test_chord_tones_are_those_of_music21(form: str, key: str) -> None:
    """Source: music21.harmony.ChordSymbol."""
    for entry in write_guide(groove.read_form(form, key=key)).chords:
        figure = str(entry.chord)
        root = str(entry.chord.root)
        figure = music21_name(root) + figure.removeprefix(root).replace("dim7", "o7")
        reference = {p.pitchClass for p in m21harmony.ChordSymbol(figure).pitches}
        assert {t.name.pitch_class for t in entry.tones} == reference, figure


@pytest.mark.parametrize("form", ["rhythm-changes", "minor-twelve-bar", "twelve-bar", "minor-vamp"])
@pytest.mark.parametrize("key", ["C", "B", "Ab"])
def test_scale_choices_sound_as_those_of_music21(form: str, key: str) -> None:
    """Source: music21.scale."""
    guide = write_guide(groove.read_form(form, key=key))
    every = [*guide.choices, *(c for e in guide.chords for c in e.choices)]
    for choice in every:
        if choice.scale in SAME:
            above = [(n.pitch_class - choice.root.pitch_class) % 12 for n in choice.notes]
            assert sorted(above) == sorted(int(step) for step in theirs(choice.scale)), choice.title


def test_every_scale_that_a_guide_names_can_be_compared_or_is_a_blues_scale() -> None:
    assert set(SCALES) - set(SAME) == {"blues", "major blues"}


@pytest.mark.parametrize("key", ["C", "E", "Db"])
def test_sizes_of_steps_are_those_of_music21(key: str) -> None:
    """Source: music21.interval."""
    for entry in write_guide(groove.read_form("rhythm-changes", key=key)).changes:
        for step in entry.change.guides:
            start = m21pitch.Pitch(music21_name(step.start.name), octave=4)
            end = m21pitch.Pitch(music21_name(step.end.name), octave=4)
            between = m21interval.Interval(start, end).semitones
            assert (between - step.semitones) % 12 == 0


@pytest.mark.parametrize("form", ["rhythm-changes", "jazz-twelve-bar"])
def test_common_tones_are_those_of_music21(form: str) -> None:
    """Source: music21.chord."""
    for entry in write_guide(groove.read_form(form)).changes:
        both = [
            set(m21chord.Chord([music21_name(n) for n in c.notes]).pitchClasses)
            for c in (entry.change.before, entry.change.after)
        ]
        assert {s.start.name.pitch_class for s in entry.change.stays} == both[0] & both[1]


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("symbol", ["Em/C", "C/A", "Bdim/G", "Am/F#", "G/F", "D/C", "Am/G", "C/B"])
def test_root_of_a_slash_chord_in_thirds_is_that_of_music21(symbol: str, key: str) -> None:
    """Source: music21.chord, which finds the root by stacking thirds."""
    chord = parse_chord(symbol).transposed(NoteName.parse(key).fifths)
    names = [music21_name(name) for name in (*chord.notes, chord.lowest)]
    assert music21_name(heard(chord).root) == m21chord.Chord(names).root().name


@pytest.mark.parametrize("key", KEYS)
def test_suspension_over_a_bass_holds_the_tones_of_music21(key: str) -> None:
    """F over G: G7sus4 and its ninth. Source: music21.harmony.ChordSymbol."""
    chord = parse_chord("F/G").transposed(NoteName.parse(key).fifths)
    figure = f"{music21_name(chord.lowest)}7sus4"
    reference = {p.pitchClass for p in m21harmony.ChordSymbol(figure).pitches}
    ninth = (chord.lowest.pitch_class + 2) % 12
    assert {name.pitch_class for name in heard(chord).notes} == reference | {ninth}
