"""A bar of the written chart: its chords, and the marks around them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from groove.handout.drawing.staff.rhythm import Note
from groove.rhythm.meter import Meter
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from groove.theory.symbols import Symbol, marked, symbol


@dataclass(frozen=True, slots=True)
class WrittenChord:
    """A chord in a bar: where it begins and how long it lasts, in ticks, and its numeral.

    early: ticks by which it comes before its place; tied: whether a tied note shows that. silent,
    root_only: whether it is N.C., or has its root alone.
    """

    start: int
    length: int
    chord: Chord
    numeral: str
    early: int = 0
    silent: bool = False
    root_only: bool = False
    tied: bool = False

    @property
    def shown(self) -> Symbol:
        """The symbol with the marks of the form's notation."""
        return marked(
            symbol(self.chord),
            pushed=self.early > 0,
            silent=self.silent,
            root_only=self.root_only,
        )

    @property
    def drawn(self) -> Symbol:
        """The symbol beside the tied note that shows when it comes, if there is one."""
        return replace(self, early=0).shown if self.tied else self.shown


@dataclass(frozen=True, slots=True)
class Change:
    """The changes that a bar begins with; what goes on as before is left out.

    meter: whether the bar's time signature stands there. key: as the reader sees it, and home, the
    same in words. tempo: felt
    beats a minute. beat: the old and the new note value that are equally long, in ticks. feel: in
    words, with its swing_ratio and swing_type.
    """

    meter: bool = False
    key: Key | None = None
    home: str = ""
    tempo: float | None = None
    beat: tuple[int, int] | None = None
    feel: str = ""
    swing_ratio: float = 1.0
    swing_type: str = "eighth"


NO_CHANGE = Change()


@dataclass(frozen=True, slots=True)
class MelodyNote:
    """A note or a rest of a melody; the name and the octave of a rest have no meaning."""

    note: Note
    name: NoteName
    octave: int


@dataclass(frozen=True, slots=True)
class WrittenBar:
    """One bar as written.

    section: the name of the section that begins here, else empty. same: whether it is played
    like the bar before and just the simile sign stands in it. opens, closes: a repeat sign at
    its left or right; times: how often the repeat that closes here is played, 1 where brackets
    say it. bracket: the numbers of the times of an ending that begins here, ``"1.–3."``;
    in_bracket: whether the bar stands under one. last: whether the piece ends with it. added,
    finish: whether it is a bar of the ending, and the first of them. rest: a last bar of one
    stroke, held (``"ring"``) or struck once (``"hit"``), else empty.

    number: of the bar as it is first played; 0 where bars are not counted. letter: for rehearsal.
    segno, coda: signs at its left. to_coda: whether the last time goes from its end to the coda.
    jump: words at its right, ``"D.S. al Coda"``. fine: whether the piece ends there after a D.S.
    tops, again: where bars begin and end that are played several times though there are repeats in
    them; again says how often.

    words: cues, who plays, each on its own. rhythm: cue notes above the slashes; with stops they
    stand in their place. fermata: the tick of the bar that is held. dynamic, dynamic_after: signs
    at its beginning and end, ``"mf"``. hairpin: ``"<"`` or ``">"`` in each bar that it goes
    through. pedal, rit: words with a line that goes on through all bars that have them. lyrics:
    rows of text from here on. melody: notes and rests that fill it, empty without one. signature:
    sharps of the key signature that holds, flats negative.

    continues, continued: whether it is the part of a bar that goes on in the next line, or that
    began in the one before, so that no bar line stands there.
    """

    chords: tuple[WrittenChord, ...]
    meter: Meter
    section: str = ""
    same: bool = False
    opens: bool = False
    closes: bool = False
    times: int = 1
    bracket: str = ""
    in_bracket: bool = False
    ends_section: bool = False
    last: bool = False
    added: bool = False
    finish: bool = False
    rest: str = ""
    number: int = 0
    letter: str = ""
    change: Change = NO_CHANGE
    segno: bool = False
    coda: bool = False
    to_coda: bool = False
    jump: str = ""
    fine: bool = False
    tops: bool = False
    again: str = ""
    words: tuple[str, ...] = ()
    rhythm: tuple[Note, ...] = ()
    stops: bool = False
    fermata: int | None = None
    dynamic: str = ""
    dynamic_after: str = ""
    hairpin: str = ""
    pedal: str = ""
    rit: str = ""
    lyrics: tuple[str, ...] = ()
    melody: tuple[MelodyNote, ...] = ()
    signature: int = 0
    continues: bool = False
    continued: bool = False

    @property
    def begins_something(self) -> bool:
        """Whether a section, a repeat, an ending or a change begins with it."""
        signs = self.section or self.letter or self.bracket or self.opens or self.segno or self.coda
        return bool(signs) or self.change != NO_CHANGE

    @property
    def is_directed(self) -> bool:
        """Whether it has directions to the band: rhythms, loudness or words."""
        return bool(self.rhythm or self.stops or self.dynamic or self.words or self.melody)
