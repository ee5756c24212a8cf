"""Stems are played side by side, and come out together."""

from __future__ import annotations

import sys
import threading
from typing import TYPE_CHECKING

import numpy as np
import pytest

from groove.errors import GrooveError
from groove.sound.samples import BLOCK, SAMPLE_RATE
from groove.sound.synth import stems
from groove.sound.synth.scores import scores
from groove.sound.synth.stems import LONGEST_TAIL_SECONDS, play_stems
from tests.sound.sound_material import midi_of

if TYPE_CHECKING:
    import ctypes
    from collections.abc import Callable, Sequence
    from pathlib import Path

    import mido

    from groove.sound.samples import Samples
    from groove.sound.synth.scores import Event
    from groove.sound.synth.soundfonts import Fonts, Soundfont


def play(midi: mido.MidiFile, fonts: Fonts) -> list[tuple[Samples | None, ...]]:
    with play_stems(scores(midi), fonts) as playing:
        return list(playing)


def test_every_block_is_whole_and_stereo(short_take: mido.MidiFile, fonts: Fonts) -> None:
    blocks = [b for together in play(short_take, fonts) for b in together if b is not None]
    assert {block.shape for block in blocks} == {(BLOCK, 2)}


def test_the_stems_are_those_played_alone(short_take: mido.MidiFile, fonts: Fonts) -> None:
    together = play(short_take, fonts)
    for number, score in enumerate(scores(short_take)):
        with play_stems([score], fonts) as playing:
            for alone, blocks in zip(playing, together, strict=False):
                assert np.array_equal(alone[0], blocks[number])  # type: ignore[arg-type]


@pytest.mark.parametrize("cores", [1, 2, 7])
def test_the_samples_do_not_depend_on_the_number_of_cores(
    cores: int, short_take: mido.MidiFile, fonts: Fonts, monkeypatch: pytest.MonkeyPatch
) -> None:
    expected = play(short_take, fonts)
    monkeypatch.setattr(stems, "cores", lambda: cores)
    for found, blocks in zip(play(short_take, fonts), expected, strict=True):
        for one, other in zip(found, blocks, strict=True):
            assert (one is None) == (other is None)
            assert one is None or np.array_equal(one, other)  # type: ignore[arg-type]


def test_the_caller_plays_if_no_thread_can_be_started(
    short_take: mido.MidiFile, fonts: Fonts, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(_thread: threading.Thread) -> None:
        raise RuntimeError("can't start new thread")

    expected = play(short_take, fonts)
    monkeypatch.setattr(stems, "cores", lambda: 3)
    monkeypatch.setattr(threading.Thread, "start", refuse)
    for found, blocks in zip(play(short_take, fonts), expected, strict=True):
        assert all(
            one is other is None or np.array_equal(one, other)  # type: ignore[arg-type]
            for one, other in zip(found, blocks, strict=True)
        )


def test_a_stem_that_has_died_away_ends_before_the_others(fonts: Fonts) -> None:
    midi = midi_of({9: [(0, 0.2, 37, 100)], 0: [(30, 1, 40, 100)]}, {0: 33})
    blocks = play(midi, fonts)
    ended = [number for number, (drums, _) in enumerate(blocks) if drums is None]
    assert ended == list(range(ended[0], len(blocks)))
    assert ended[0] * BLOCK < 6 * SAMPLE_RATE


def test_leaving_in_the_middle_ends_the_threads(short_take: mido.MidiFile, fonts: Fonts) -> None:
    before, interval = threading.active_count(), sys.getswitchinterval()
    with play_stems(scores(short_take), fonts) as playing:
        next(playing)
    assert (threading.active_count(), sys.getswitchinterval()) == (before, interval)


class Hum:
    """Stands in for a synthesiser whose sound never changes."""

    level = 0.5

    def __init__(self, font: Soundfont, events: Sequence[Event], *, even: bool = False) -> None:
        self.frame = 0

    def close(self) -> None: ...

    def fill(self, block: ctypes.Array[ctypes.c_float]) -> None:
        np.frombuffer(memoryview(block), np.float32)[:] = self.level
        self.frame += len(block) // 2


def test_a_sound_that_never_dies_is_left_after_the_longest_tail(
    fonts: Fonts, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(stems, "Synth", Hum)
    blocks = play(midi_of({0: [(0, 2, 60, 90)]}), fonts)
    assert abs(len(blocks) * BLOCK / SAMPLE_RATE - 1 - LONGEST_TAIL_SECONDS) < 2 * BLOCK / 44_100


def test_an_error_in_a_player_reaches_the_listener_and_ends_the_others(
    short_take: mido.MidiFile, fonts: Fonts, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Broken(Hum):
        def fill(self, block: ctypes.Array[ctypes.c_float]) -> None:
            raise GrooveError("broken string")

    before = threading.active_count()
    monkeypatch.setattr(stems, "Synth", Broken)
    with pytest.raises(GrooveError, match="broken string"):
        play(short_take, fonts)
    assert threading.active_count() == before


def test_a_soundfont_that_cannot_be_loaded_is_an_error(
    short_take: mido.MidiFile, soundfont_at: Callable[..., Path], capfd: pytest.CaptureFixture[str]
) -> None:
    from groove.sound.synth.soundfonts import Fonts, Soundfont

    cut = soundfont_at("x.sf2", b"RIFF")
    with pytest.raises(GrooveError, match="cannot be loaded"):
        play(short_take, Fonts(Soundfont(cut, "X", "none")))
    assert capfd.readouterr() == ("", "")


def test_a_part_with_a_soundfont_of_its_own_is_played_on_it(
    short_take: mido.MidiFile, soundfont_at: Callable[..., Path], fonts: Fonts
) -> None:
    """The other one has no sounds at all."""
    from groove.sound.synth.soundfonts import Fonts, Soundfont

    mute = Soundfont(soundfont_at("mute.sf2"), "mute", "none")
    blocks = play(short_take, Fonts(fonts.main, {"drums": mute}))
    heard = [any(b[part] is not None and b[part].any() for b in blocks) for part in range(3)]
    assert heard == [False, True, True]
