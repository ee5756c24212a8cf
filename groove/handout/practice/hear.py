"""Lines of guide tones and licks that the practice page sounds for a student beside the band.

Both are the lesson sheet's. Scales and arpeggios need no data of their own, because the page draws
them; the example solo is a part of the band.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Any

from groove.form.choruses import in_key
from groove.form.model import Form
from groove.handout.practice.necks import named_tuning
from groove.handout.practice.phrases import Texts, names_of, tab_of, times_of
from groove.handout.practice.road import Written
from groove.handout.practice.streams import packed
from groove.lesson.request import Request
from groove.lesson.solo.make import licks_made
from groove.lesson.track_lines.guide_tones import MIDDLES, OVER_NECK
from groove.theory.keys import Key
from groove.theory.motion import guide_lines

Json = dict[str, Any]


def heard_lines(
    form: Form, slots: Iterable[Written], keys: Sequence[Key], request: Request
) -> Json:
    """The lines of guide tones through some chords and the licks of a form in some keys, ready for
    JSON.

    guideTones: text of two numbers for each chord, the notes of both lines on the line of fifths
    above the tonic. middles: MIDI notes around which the lines lie, by clef, and the semitones over
    the middle of the open strings where there are some.
    licks: tuning: that of the tablature, by its name among the page's. placed: by the number of the
    key that sounds, of each lick the number of its position and the fret of the first finger, the
    technique that it shows, numbers of texts of `times` and, with its lowest fret before, of
    `tabs`, as page_phrases has them, and the number of a text of `names`: its notes on the line of
    fifths above the tonic. They go over the first chord on the tonic.
    """
    return {
        "guideTones": packed(_guide_tones(slots, form.key)),
        "middles": MIDDLES | {"neck": OVER_NECK},
        "licks": _licks(form, keys, request),
    }


def _guide_tones(slots: Iterable[Written], key: Key) -> Iterator[int]:
    """Two numbers for each chord; a chord in a line that is moved is led to as it sounds there."""
    written = [(chord, _fifths(moved)) for _, _, chord, _, moved in slots]
    chords = [chord.transposed(moved) for chord, moved in written]
    groups = [(chord, len(list(same))) for chord, same in groupby(chords)]
    lines = guide_lines([chord for chord, _ in groups])
    places = (place for place, (_, count) in enumerate(groups) for _ in range(count))
    for (_, moved), place in zip(written, places, strict=True):
        for line in lines:
            yield line[place].name.fifths - moved - key.tonic.fifths


def _fifths(semitones: int) -> int:
    """The shortest way on the line of fifths that goes up by some semitones, -5 to 6."""
    return (7 * semitones + 5) % 12 - 5


def _licks(form: Form, keys: Sequence[Key], request: Request) -> Json:
    name, tuning = named_tuning(request)
    times, tabs, names = Texts(), Texts(), Texts()
    placed = [
        [
            [
                lick.position.number,
                lick.position.fret,
                lick.technique or "none",
                times.number(times_of(line.notes)),
                *tab_of(line.notes, tabs),
                names.number(names_of(line.notes, key)),
            ]
            for line, lick in licks_made(in_key(form, key), tuning)
        ]
        for key in keys
    ]
    return {
        "tuning": name,
        "placed": placed,
        "times": list(times.numbers),
        "tabs": list(tabs.numbers),
        "names": list(names.numbers),
    }
