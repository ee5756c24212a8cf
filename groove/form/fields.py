"""The fields of a form file and the readers that check their values.

Each reader takes the value as TOML or the command line gives it and returns the checked
value, or raises ValueError with what was found and what is allowed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from groove.form import lesson_fields, model
from groove.form.road import directions
from groove.form.road.mix_fields import read_levels, read_places
from groove.form.road.section_fields import (
    ONE_SECTION_FIELDS,
    read_comping,
    read_instruments,
    read_order,
    read_percussion,
    read_sections,
    read_swing_ratio,
    read_tempo,
    read_tempo_step,
)
from groove.form.values import (
    number_between,
    one_of,
    or_lifted,
    pattern_name,
    read_chords,
    read_ending,
    read_intensity,
    read_key,
    read_meter,
    read_part_chords,
    read_players,
    read_title,
    read_turnaround,
    whole_number,
    yes_or_no,
)
from groove.rhythm.note_line import read_riffs

LARGEST_SEED = 2**63 - 1


@dataclass(frozen=True, slots=True)
class Field:
    """One field: its reader, the word for its value in help, and its line of help."""

    read: Callable[[Any], Any]
    holds: str
    help: str


FIELDS: dict[str, Field] = {
    "title": Field(read_title, "TEXT", "title of the track"),
    "key": Field(read_key, "KEY", "a tonic, G for major and blues, Gm for minor"),
    "tempo": Field(
        read_tempo,
        "BEATS",
        "beats a minute, 30 to 320 (3/8 to 12/8 in threes: dotted quarters; 2/2: halves)",
    ),
    "meter": Field(read_meter, "METER", "2/4 to 7/4, 2/2, 3/8 to 12/8; in groups as 2+2+3/8"),
    "feel": Field(one_of(model.FEELS), "FEEL", "straight, shuffle or swing"),
    "swing_ratio": Field(
        read_swing_ratio,
        "RATIO",
        "long part of a swung beat to the short one, 1 to 4",
    ),
    "chords": Field(read_chords, "CHORDS", 'CHORD[:BARS] ..., as in "I7:4 IV7:2 I7:2"'),
    "sections": Field(read_sections, "TABLES", "sections with a name and chords each"),
    "quick_change": Field(yes_or_no, "BOOL", "go to the IV chord in bar 2"),
    "turnaround": Field(
        read_turnaround, "CHORDS", "V7 in the last bar leads back to the top; or the chords that do"
    ),
    "tempo_step": Field(
        read_tempo_step,
        "BEATS",
        "each chorus so many beats a minute faster than the one before; -4 is slower",
    ),
    "key_cycle": Field(
        one_of(model.KEY_CYCLES),
        "WAY",
        "each chorus in the next key: fourths, fifths, up or down (by semitones), or none",
    ),
    "tuning_note": Field(yes_or_no, "BOOL", "sound A and the key's tonic before the count-in"),
    "a4": Field(
        number_between(model.LOWEST_A4, model.HIGHEST_A4, "Hz"),
        "HZ",
        "what the A above middle C is tuned to, 415 to 466 Hz; 440 if left out",
    ),
    "choruses": Field(
        whole_number(1, model.MOST_CHORUSES, "choruses"), "N", "times round the form, 1 to 100"
    ),
    "intensity": Field(
        read_intensity,
        "LEVELS",
        'how busy, LEVEL[:BARS] ..., 1 to 3: "1 2 3" by chorus, "1:8 2-3:16" in bars',
    ),
    "count_in": Field(
        whole_number(0, model.MOST_COUNT_IN, "bars"), "BARS", "bars of count-in, 0 to 8"
    ),
    "ending": Field(
        read_ending,
        "ENDING",
        "hit, ring, tag, cold, ..., loop or written; one that suits the style if left out",
    ),
    "drums": Field(pattern_name("drums"), "NAME", "drum pattern"),
    "bass": Field(pattern_name("bass"), "NAME", "bass idiom; the drum pattern's own if left out"),
    "comping": Field(
        read_comping,
        "NAME",
        "comping idiom, or a guitar's and a keys'; the drum pattern's own if left out",
    ),
    "percussion": Field(read_percussion, "NAMES", "percussion, as in shaker, tambourine"),
    "order": Field(
        read_order, "SECTIONS", 'what is played, as in "A, A, B, A"; a semicolon between lines'
    ),
    "tightness": Field(
        number_between(0, 1, "(1 is the bare grid)"),
        "PART",
        "0 to 1: from timing and weight as people play (0) to the bare grid (1)",
    ),
    "plain": Field(
        or_lifted(read_players, ()),
        "PLAYERS",
        "players without grace notes, slides, flams, pedal and swell, as in bass, keys; or all",
    ),
    "seed": Field(
        whole_number(0, LARGEST_SEED, "up to 19 digits"),
        "N",
        "another seed plays another take of the same",
    ),
} | {name: Field(*field) for name, field in lesson_fields.OPTION_READERS.items()}


FILE_FIELDS: dict[str, Callable[[Any], Any]] = (
    dict(ONE_SECTION_FIELDS)
    | {
        "by": read_title,
        "instrument": read_instruments,
        "dynamics": directions.dynamics,
        "tacet": directions.tacet,
        "pulse": directions.pulse,
        "pickup": read_part_chords,
        "riffs": read_riffs,
        "levels": read_levels,
        "places": read_places,
    }
    | lesson_fields.FILE_READERS
)
"""The readers of fields that stand in a form file and are no options of the command line."""
