"""Small MIDI files and soundfonts for the tests of sound, and readers of what is rendered."""

from __future__ import annotations

import os
import struct
import subprocess
import sys
import wave
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Unpack

import mido
import numpy as np
from numpy.typing import NDArray

from groove.sound.audio import render
from groove.sound.job import AudioJob
from groove.sound.mix.mix_settings import MixSettings
from groove.sound.mixes import audio_files
from groove.sound.options import AudioOptions, wanted
from groove.sound.synth.scores import parts_of
from groove.sound.synth.soundfont_records import INSTRUMENT, KEY_RANGE, RECORD_BYTES, SAMPLE

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from groove.sound.report import Report
    from groove.sound.samples import Samples
    from groove.sound.synth.soundfonts import Fonts

_SPEC = find_spec("pretty_midi")
GENERAL_MIDI = Path(str(_SPEC and _SPEC.origin)).parent / "TimGM6mb.sf2"
"""A small soundfont with all of General MIDI, uncompressed, which every machine has."""

COARSE_TUNE = 51
"""The number of a generator (SoundFont specification 2.01, from memory)."""

Note = tuple[float, float, int, int]
"""Start and length in beats, MIDI note number, velocity."""

PLAIN = MixSettings()
"""Nothing is done to any part."""

NAMES = {9: "drums", 0: "bass", 1: "comping"}

Wave = NDArray[np.float64]


def midi_of(
    parts: dict[int, Sequence[Note]],
    programs: dict[int, int] | None = None,
    tempos: Sequence[tuple[float, int]] = ((0, 500_000),),
) -> mido.MidiFile:
    """A MIDI file with one track a channel; tempos are (beat, microseconds a beat).

    The tracks of channels 9, 0 and 1 are called drums, bass and comping, others by number.
    """
    midi = mido.MidiFile(ticks_per_beat=480)
    lead = midi.add_track()
    at = 0
    for beat, tempo in tempos:
        tick = round(beat * 480)
        lead.append(mido.MetaMessage("set_tempo", tempo=tempo, time=tick - at))
        at = tick
    for channel, notes in parts.items():
        track = midi.add_track(NAMES.get(channel, f"channel {channel}"))
        if programs and channel in programs:
            track.append(mido.Message("program_change", channel=channel, program=programs[channel]))
        strokes = sorted(
            stroke
            for start, length, note, velocity in notes
            for stroke in ((start, 1, note, velocity), (start + length, 0, note, 0))
        )
        at = 0
        for beat, on, note, velocity in strokes:
            tick = round(beat * 480)
            kind = "note_on" if on else "note_off"
            track.append(
                mido.Message(kind, channel=channel, note=note, velocity=velocity, time=tick - at)
            )
            at = tick
    return midi


def read_wave(path: Path) -> Wave:
    """A 16-bit stereo WAV file as floats of shape (frames, 2), full scale 1."""
    with wave.open(str(path), "rb") as wav:
        assert (wav.getnchannels(), wav.getsampwidth(), wav.getframerate()) == (2, 2, 44_100)
        content = wav.readframes(wav.getnframes())
    samples: Wave = np.frombuffer(content, dtype="<i2").reshape(-1, 2) / 32767
    return samples


def render_to(
    path: Path,
    midi: mido.MidiFile,
    fonts: Fonts,
    *,
    settings: MixSettings = PLAIN,
    loop: tuple[int, int] | None = None,
    progress: Callable[[float], None] | None = None,
    **options: Unpack[AudioOptions],
) -> Report:
    """Render `midi` to `path`, a WAV file, and what the options ask for beside it."""
    asked = wanted("wav", options)
    files = audio_files(path.with_suffix(""), parts_of(midi), asked)
    job = AudioJob(midi, fonts, files, asked, settings, loop=loop, measured=True)
    return render(job, progress)


def centroid(sound: Wave) -> float:
    """The mean frequency of a sound in Hz, each weighted by its magnitude."""
    faded = sound * np.hanning(2 * len(sound))[len(sound) :]
    magnitude = np.abs(np.fft.rfft(faded))
    return float(np.fft.rfftfreq(len(sound), 1 / 44_100) @ magnitude / magnitude.sum())


def likeness(one: Wave, other: Wave) -> float:
    """The normalised correlation of two sounds where it is highest, within 2 ms."""
    lag = 88
    kept = one[lag:-lag].astype(float)
    size = 1 << len(other).bit_length()
    top = np.fft.irfft(np.fft.rfft(other, size) * np.conj(np.fft.rfft(kept, size)), size)
    squares = np.concatenate([[0.0], np.cumsum(other.astype(float) ** 2)])
    energies = squares[len(kept) :] - squares[: -len(kept)]
    return float((top[: 2 * lag + 1] / np.sqrt((kept @ kept) * energies)).max())


class Sound:
    """Samples as a source that can be read from anywhere; silent outside."""

    def __init__(self, samples: Samples) -> None:
        self.samples = samples

    def read(self, first: int, samples: Samples) -> None:
        samples.fill(0)
        begin, end = max(first, 0), min(first + len(samples), len(self.samples))
        if begin < end:
            samples[begin - first : end - first] = self.samples[begin:end]


def chunk(name: str, content: bytes) -> bytes:
    """One RIFF chunk, padded to an even length."""
    return name.encode() + struct.pack("<I", len(content)) + content + bytes(len(content) % 2)


def tiny_soundfont(
    info: bytes = b"", pdta: bytes | None = None, samples: int | bytes = 96, pad: bool = True
) -> bytes:
    """The bytes of a well-formed soundfont without a single sound.

    samples: the content of the sample chunk, or how many zero bytes it is. pad: whether a list of
    samples of odd size is padded.
    """
    if pdta is None:
        pdta = b"".join(
            chunk(name, bytes(size * (2 if name in ("phdr", "inst", "shdr") else 1)))
            for name, size in RECORD_BYTES.items()
        )
    content = bytes(samples) if isinstance(samples, int) else samples
    smpl = b"sdta" + b"smpl" + struct.pack("<I", len(content)) + content
    sdta = chunk("LIST", smpl)[: None if pad else len(smpl) + 8]
    content = b"sfbk" + chunk("LIST", b"INFO" + info) + sdta + chunk("LIST", b"pdta" + pdta)
    return b"RIFF" + struct.pack("<I", len(content)) + content


def soundfont_of(presets: dict[tuple[int, int], list[int]], name: str = "Some Band") -> bytes:
    """The bytes of a soundfont with these banks and programs, which sound on these keys.

    All play the same short sample, each preset at a speed of its own.
    """
    zones = [key for keys in presets.values() for key in keys]
    counts = [len(keys) for keys in presets.values()]
    firsts = [sum(counts[:number]) for number in range(len(counts) + 1)]
    phdr = [
        struct.pack("<20sHHH12x", b"Some", program, bank, number)
        for number, (bank, program) in enumerate(presets)
    ]
    pdta = {
        "phdr": b"".join(phdr) + struct.pack("<20sHHH12x", b"EOP", 0, 0, len(presets)),
        "pbag": b"".join(struct.pack("<HH", n, 0) for n in range(len(presets) + 1)),
        "pmod": bytes(10),
        "pgen": b"".join(struct.pack("<HH", INSTRUMENT, n) for n in range(len(presets))) + bytes(4),
        "inst": b"".join(struct.pack("<20sH", b"Some", first) for first in firsts),
        "ibag": b"".join(struct.pack("<HH", 3 * n, 0) for n in range(len(zones) + 1)),
        "imod": bytes(10),
        "igen": b"".join(
            struct.pack("<HBBHHHH", KEY_RANGE, key, key, COARSE_TUNE, number, SAMPLE, 0)
            for number, keys in enumerate(presets.values())
            for key in keys
        )
        + bytes(4),
        "shdr": struct.pack("<20s5IBbHH", b"Saw", 0, 4000, 0, 4000, 44_100, 60, 0, 0, 1)
        + bytes(46),
    }
    saw = struct.pack("<4000h", *(300 * (n % 100) - 15_000 for n in range(4000))) + bytes(92)
    info = chunk("ifil", b"\2\0\1\0") + chunk("INAM", name.encode() + b"\0")
    return tiny_soundfont(info, b"".join(chunk(part, data) for part, data in pdta.items()), saw)


def run_python(code: str, **environ: str) -> subprocess.CompletedProcess[str]:
    """Run `code` in a process of its own that can import groove and the tests."""
    return subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        timeout=60,
        env=os.environ | {"PYTHONPATH": str(Path(__file__).parents[2])} | environ,
    )
