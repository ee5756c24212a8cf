"""Real progressions, translated bar by bar into the notation of forms.

Source: the corpus of ``music21``: analyses in RomanText (madrigals by Monteverdi, chorales by Bach)
and lead sheets with chord symbols. A bar's chords have their lengths written after them; a bar
of another metre than the first has that metre before them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from music21 import converter, corpus, harmony, roman
from music21.base import Music21Object

from groove.form.chordline import parse_chords, timed
from groove.rhythm.meter import Meter
from groove.theory.keys import Key
from groove.theory.roman import parse_numeral

# Semitones above the root, and the suffix of that chord (common practice).
SUFFIXES = {
    (0, 4, 7): "", (0, 3, 7): "m", (0, 3, 6): "dim", (0, 4, 8): "+", (0, 4, 7, 10): "7",
    (0, 4, 7, 11): "maj7", (0, 3, 7, 10): "m7", (0, 3, 6, 10): "m7b5", (0, 3, 6, 9): "dim7",
    (0, 3, 7, 11): "m(maj7)", (0, 4, 8, 11): "maj7#5", (0, 4, 8, 10): "7#5", (0, 7): "5",
    (0, 4): "no5", (0, 3): "mno5", (0, 6): "dimno3", (0,): "no3no5", (0, 4, 10): "7no5",
    (0, 3, 10): "m7no5", (0, 7, 10): "7no3", (0, 7, 11): "maj7no3", (0, 2, 4, 7, 10): "9",
    (0, 2, 4, 7): "add9", (0, 2, 4, 7, 11): "maj9", (0, 5, 7): "sus4", (0, 2, 4, 7, 9, 10): "13",
    (0, 4, 6, 10): "7b5", (0, 4, 11): "maj7no5", (0, 3, 6, 11): "dim(maj7)",
    (0, 3, 9): "dim7no5", (0, 11): "maj7no3no5",
    (0, 2, 4, 5, 7, 9, 10): "13add11", (0, 2, 3, 7, 10): "m9", (0, 1, 4, 7, 10): "7b9",
}  # fmt: skip
# In minor RomanText counts from the minor scale, forms from the major one.
FROM_MINOR = {"III": "bIII", "VI": "bVI", "VII": "bVII"}
SIXTH_FIGURES = {"6": "63", "2": "42"}  # which in forms have another meaning
MAJOR_SEVENTHS = ("I", "IV", "bII", "bIII", "bVI")  # the scale's own seventh over these is major
OF_MUSIC21 = {"CN6": "C(b5)addb9", "CIt+6": "Ab7no5/C"}


@dataclass
class Written:
    """A piece in the notation of forms, with its number of chords and what is refused of it."""

    name: str
    text: str
    chords: int
    refused: str


def _name(text: str) -> str:
    return text.replace("-", "b")


def _pitch_classes(chord: Music21Object) -> tuple[int, set[int], int]:
    """Root, tones and bass; where the analyst left the root out (no1) it is added."""
    root = chord.root().pitchClass
    return root, {pitch.pitchClass for pitch in chord.pitches} | {root}, chord.bass().pitchClass


def symbol_of(numeral: roman.RomanNumeral) -> str:
    """A chord of an analysis as a chord symbol."""
    own, tones, bass = _pitch_classes(numeral)
    roots = {pitch.pitchClass: pitch for pitch in (*numeral.pitches, numeral.root())}
    for root in (own, *sorted(roots)):
        steps = tuple(sorted((tone - root) % 12 for tone in tones))
        if steps in SUFFIXES:
            below = "" if bass == root else "/" + _name(numeral.bass().name)
            return _name(roots[root].name) + SUFFIXES[steps] + below
    return numeral.figure  # which no chord symbol is


def figure_of(numeral: roman.RomanNumeral) -> str:
    """The figure of an analysis as a numeral of a form."""
    figure = re.sub(r"\[no1\]", "", numeral.figure).replace("[no3no5]", "[no3][no5]")
    head, *goals = re.split(r"/(?=[#b]*[IViv]+$|[#b]*[IViv]+/)", figure)
    match = re.fullmatch(r"([#b-]*)([IViv]+)(.*)", head)
    if not match:
        return figure
    signs, letters, rest = match.groups()
    signs = signs.replace("-", "b")
    in_minor = (numeral.secondaryRomanNumeralKey or numeral.key).mode == "minor"
    if in_minor and not signs and letters in FROM_MINOR:
        letters = FROM_MINOR[letters]
    figures = re.match(r"[o+ø]?(\d*(?:/\d)?)", rest)
    if figures and figures[1] in SIXTH_FIGURES:
        rest = rest.replace(figures[1], SIXTH_FIGURES[figures[1]], 1)
    if rest[:1] in ("7", "9") and signs + letters in MAJOR_SEVENTHS:
        sevenths = {
            (pitch.pitchClass - numeral.root().pitchClass) % 12 for pitch in numeral.pitches
        }
        rest = "maj" * (11 in sevenths) + rest
    if numeral.key.mode == "minor" and goals:
        goals = [FROM_MINOR.get(goal, goal) for goal in goals]
    return "/".join([signs + letters + rest, *goals])


def spelled(symbol: harmony.ChordSymbol) -> str:
    """A chord symbol of a lead sheet as people type it: flats are b."""
    if isinstance(symbol, harmony.NoChord):
        return "NC"
    figure = re.sub(r"(?<=[A-Ga-g])-", "b", symbol.figure)
    figure = re.sub(r"(?<=/[a-g])\+$", "#", figure)  # a sharp in the collection of reels
    figure = figure.replace(" subtract ", "no").replace(" ", "")
    return OF_MUSIC21.get(figure, figure)


def written(name: str, score: Music21Object, write: Callable[..., str], kind: type) -> Written:
    """A score in bars of chords, and what of it is refused."""
    part = next((p for p in score.parts if p[kind]), score)
    first: str | None = None
    bars: list[str] = []
    held, count = "NC", 0
    for measure in part.getElementsByClass("Measure"):
        signature = measure.timeSignature or measure.getContextByClass("TimeSignature")
        length = Fraction(signature.barDuration.quarterLength)
        start = max(Fraction(0), length - Fraction(measure.duration.quarterLength))
        start = start if not bars else Fraction(0)  # an upbeat
        found = []
        for chord in measure[kind]:
            at = (Fraction(chord.getOffsetInHierarchy(measure)) + start) / length
            if at < 1 and not (found and found[-1][0] == at):
                found.append((at.limit_denominator(96), write(chord), chord))
        count += len(found)
        if not found or found[0][0] > 0:
            found.insert(0, (Fraction(0), held, None))
        held = found[-1][1]
        ends = [*(at for at, _, _ in found[1:]), Fraction(1)]
        first = first or signature.ratioString
        own = "" if signature.ratioString == first else f"{signature.ratioString} "
        words = (f"{w}:{end - at}" for (at, w, _), end in zip(found, ends, strict=True))
        bars.append(own + " ".join(words))
    while bars and re.fullmatch(r"(\S+ )?NC:1", bars[0]):  # bars before the first chord
        bars.pop(0)
    text = "| " + " | ".join(bars) + " |"
    try:
        timed(parse_chords(text), Meter.parse(first or "4/4"))
    except ValueError as error:
        return Written(name, text, count, str(error))
    return Written(name, text, count, "")


def wrong_figures(score: Music21Object) -> list[tuple[str, str]]:
    """The numerals of an analysis that are refused, or are read as another chord."""
    wrong = []
    for numeral in score[roman.RomanNumeral]:
        figure = figure_of(numeral)
        key = Key.parse(_name(numeral.key.tonic.name) + "m" * (numeral.key.mode == "minor"))
        _, tones, bass = _pitch_classes(numeral)
        try:
            chord = parse_numeral(figure).chord(key)
        except ValueError as error:
            wrong.append((figure, str(error)))
            continue
        read = {note.pitch_class for note in chord.notes}
        if (read, chord.lowest.pitch_class) != (tones, bass):
            wrong.append((figure, f"is {chord} in {key}, not {sorted(tones)} over {bass}"))
    return wrong


def analyses() -> list[Path]:
    """The analyses in RomanText."""
    return sorted(Path(p) for p in corpus.getCorePaths() if str(p).endswith(".rntxt"))


def lead_sheets() -> Iterator[tuple[str, Music21Object]]:
    """The lead sheets, and songs with chord symbols."""
    for name in (
        "leadSheet/berlinAlexandersRagtime", "leadSheet/fosterBrownHair",
        "demos/ComprehensiveChordSymbolsTestFile", "demos/chord_realization_exercise",
    ):  # fmt: skip
        yield name, _parsed(corpus.getWork(name))
    for number, tune in enumerate(_parsed(corpus.getWork("nottingham-dataset/reelsa-c")).scores, 1):
        yield f"nottingham-dataset/reelsa-c {number}", tune


def _parsed(path: Path | str, kind: str | None = None) -> Music21Object:
    """A file's music, kept nowhere: two processes that kept it in one file would meet there."""
    reader = converter.Converter()
    reader.parseFileNoPickle(path, format=kind)
    return reader.stream


def analysis(path: Path) -> Music21Object:
    """The score of an analysis."""
    return _parsed(path, "romantext")


def written_analysis(path: Path, score: Music21Object) -> Written:
    """An analysis as chord symbols."""
    return written(path.stem, score, symbol_of, roman.RomanNumeral)


def written_lead_sheet(name: str, score: Music21Object) -> Written:
    """A lead sheet."""
    return written(name, score, spelled, harmony.ChordSymbol)
