"""The rendered audio has the tempo and the length that were asked for.

The listener is `librosa.beat` (McFee et al., librosa, SciPy 2015), which knows nothing of the
form. Its own tempo estimate comes in steps of 2 % and more; the slope of a line through the
beats that it finds is finer. The soundfont is the one that comes with `pretty_midi`.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import librosa
import numpy as np
import pytest
import soundfile

import groove
from groove.sound.synth.soundfonts import find_fonts
from tests.band.band_material import form_of

if TYPE_CHECKING:
    from groove.form.model import Form

LOUD, DYING, GONE = -10, -50, -65
"""dB below the highest peak: the band plays; what is cut off here would be missed only in a quiet
room; nothing is left."""
FADE_SECONDS = 0.05
SPARE_SECONDS = 0.25  # what an end may have of near silence
RING_SECONDS = 4.0  # what a crash rings at least
CLEAR = [
    ("eighths-rock", 96), ("eighths-rock", 140), ("shuffle", 118), ("rumba", 112),
    ("medium-swing", 152), ("bossa", 130), ("waltz", 108), ("jazz-waltz", 140),
]  # fmt: skip
SHORT = "I7:2 IV7 I7 V7 IV7 I7:2"
"""Eight bars, of which a listener gets a tempo as well as of twelve."""
# At slow tempi the listener, who expects something near 120 a minute, takes an eighth or half
# as much again for the beat. So the tempo of the felt beat is given as a hint, a tenth too fast.
SLOW = [("slow-blues", 60), ("six-eight", 56), ("slow-ballad", 60)]
TOO_FAST = 1.1


def rendered(form: Form, folder: Path) -> Path:
    font = find_fonts(None, {}, []).main.path
    _, wav = groove.make(form, folder, audio="wav", soundfont=font)
    return wav


def heard_tempo(wav: Path, about: float = 120.0) -> float:
    stereo, rate = soundfile.read(wav)
    samples = stereo.mean(axis=1)
    _, frames = librosa.beat.beat_track(y=samples, sr=rate, start_bpm=about)
    beats = librosa.frames_to_time(frames, sr=rate)
    return 60 / float(np.polyfit(np.arange(len(beats)), beats, 1)[0])


@pytest.mark.slow
@pytest.mark.parametrize(("drums", "tempo"), CLEAR)
def test_the_tempo_that_is_heard_is_the_one_asked_for(
    drums: str, tempo: int, tmp_path: Path
) -> None:
    wav = rendered(form_of(SHORT, drums=drums, tempo=tempo, choruses=1), tmp_path)
    assert heard_tempo(wav) == pytest.approx(tempo, rel=0.02)


@pytest.mark.slow
@pytest.mark.parametrize(("drums", "tempo"), SLOW)
def test_a_slow_tempo_is_heard_where_it_is_expected(drums: str, tempo: int, tmp_path: Path) -> None:
    wav = rendered(form_of(SHORT, drums=drums, tempo=tempo, choruses=1), tmp_path)
    assert heard_tempo(wav, TOO_FAST * tempo) == pytest.approx(tempo, rel=0.02)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("drums", "beats"), [("shuffle", 4), ("waltz", 3), ("slow-blues", 4), ("six-eight", 2)]
)
def test_a_track_lasts_as_long_as_its_bars_and_a_tail(
    drums: str, beats: int, tmp_path: Path
) -> None:
    """Bars x beats x 60 / tempo: count-in, chorus and the ending's bar, whose first beat is the
    last stroke. The crash on it rings on for as long as it has anything to say: how long that is
    comes from its recording, so the end is told by what is heard there."""
    wav = rendered(
        form_of("I7 IV7 V7 I7", drums=drums, tempo=150, choruses=1, count_in=2), tmp_path
    )
    stereo, rate = soundfile.read(wav)
    level = np.abs(stereo).max(axis=1)
    last = {
        decibels: float(np.flatnonzero(level >= level.max() * 10 ** (decibels / 20))[-1]) / rate
        for decibels in (LOUD, DYING, GONE)
    }
    bar = beats * 60 / 150
    music, end = (2 + 4 + 1) * bar, len(level) / rate
    assert music - bar <= last[LOUD] <= music
    assert last[DYING] < end - FADE_SECONDS
    assert end - SPARE_SECONDS <= last[GONE]
    assert end - (music - bar) >= RING_SECONDS


@pytest.mark.slow
def test_a_loop_lasts_as_long_as_its_bars(tmp_path: Path) -> None:
    form = form_of("I V vi IV", drums="eighths-rock", tempo=150, ending="loop", choruses=2)
    wav = rendered(form, tmp_path)
    assert soundfile.info(wav).duration == pytest.approx(8 * 4 * 60 / 150, abs=0.001)
