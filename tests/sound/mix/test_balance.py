"""The mix of a band, part by part: the side and the loudness of each.

TimGM6mb, which comes with the Python dependencies, is the soundfont that every machine has.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from groove import library
from groove.rhythm.kit import KIT
from groove.rhythm.patterns import READERS, comping_pattern, drum_pattern
from groove.sound.midi import midi_file
from groove.sound.mix.mix_settings import mix_settings_of
from groove.sound.synth.scores import frame_at, tempo_map
from groove.sound.synth.soundfonts import find_fonts
from groove.track import compile_take
from tests.sound.mix.mix_material import PARTS, Heard, hear, usual_form

CENTRE = 64
HAT = KIT["hat"].note
HANDFUL = ("shuffle", "medium-swing", "bossa", "sixteenth-funk")


@cache
def heard(drums: str) -> Heard:
    return hear(usual_form(drums), find_fonts(None, {}, []).main.path)


@pytest.mark.parametrize("kind", ["drums", "bass"])
def test_drums_and_bass_are_set_in_the_middle(kind: str) -> None:
    assert {READERS[kind](name).mix.pan for name in library.names(kind)} == {CENTRE}


def test_comping_is_set_to_a_side_but_not_all_the_way() -> None:
    names = library.names("comping")
    places = {comping_pattern(name).mix.pan - CENTRE for name in names}
    assert all(10 <= abs(place) <= 32 for place in places)


@pytest.mark.slow
@pytest.mark.parametrize("drums", HANDFUL)
def test_the_bass_sounds_from_the_middle(drums: str) -> None:
    assert abs(heard(drums).side("bass")) < 1


@pytest.mark.slow
@pytest.mark.parametrize("drums", HANDFUL)
def test_neither_side_is_louder_than_the_other(drums: str) -> None:
    """By 1 dB between 400 Hz and 3 kHz; a lone player of chords stands near the middle."""
    band = heard(drums)
    assert abs(band.lean) < 1
    assert abs(band.side("comping")) < 2


@pytest.mark.slow
@pytest.mark.parametrize("drums", HANDFUL)
def test_left_and_right_go_together(drums: str) -> None:
    assert heard(drums).correlation > 0


@pytest.mark.slow
@pytest.mark.parametrize("drums", HANDFUL)
@pytest.mark.parametrize("part", PARTS)
def test_no_part_loses_more_than_3_db_in_mono(drums: str, part: str) -> None:
    assert heard(drums).lost_in_mono(part) < 3


@pytest.mark.slow
@pytest.mark.parametrize("drums", HANDFUL)
def test_every_part_is_as_loud_beside_the_others_as_is_wanted(drums: str) -> None:
    """Within 1 LU, by pyloudnorm; but comping yields to a soloist."""
    band, settings = heard(drums), mix_settings_of(drum_pattern(drums))
    off = {part: band.loudness(part) - settings.balance[part] for part in PARTS}
    assert abs(off["drums"] - off["bass"]) < 1
    assert -settings.yields - 1 < off["comping"] - (off["drums"] + off["bass"]) / 2 < 1


@pytest.mark.slow
@pytest.mark.parametrize("percussion", ["shaker", "shaker, tambourine, congas, claves"])
def test_percussion_sounds_3_to_8_lu_below_the_drums(percussion: str) -> None:
    """One player and four (common practice)."""
    font = find_fonts(None, {}, []).main.path
    band = hear(usual_form("eighths-rock", percussion=percussion), font)
    assert 3 < band.loudness("drums") - band.loudness("percussion") < 8


@pytest.mark.slow
def test_a_backbeat_stands_well_above_ghost_notes() -> None:
    """By 10 dB or more; here 18 dB was measured."""
    form = usual_form("eighths-rock", choruses=3)
    take = compile_take(form)
    tempo = tempo_map(midi_file(take))
    strokes = [(frame_at(tempo, n.start), n.pitch, n.velocity) for n in take.parts[0].notes]
    sound = np.abs(hear(form, find_fonts(None, {}, []).main.path).parts["drums"]).max(axis=1)
    peaks: dict[bool, list[float]] = {True: [], False: []}
    for frame, pitch, velocity in strokes:
        near = [at for at, other, _ in strokes if other != HAT and abs(at - frame) < 3000]
        if pitch == KIT["snare"].note and len(near) == 1 and not 45 <= velocity <= 100:
            peaks[velocity > 100].append(float(sound[frame : frame + 1300].max()))
    assert len(peaks[True]) > 5
    assert len(peaks[False]) > 5
    assert 20 * np.log10(np.median(peaks[True]) / np.median(peaks[False])) > 10
