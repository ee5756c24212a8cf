"""Compares the package's soundfont with what it is made of: cutting, compression, loops.

Run as ``python -m tests.bench.soundfont.comparing SOURCE PACKAGES OWN``, SOURCE and PACKAGES as for
the builder, OWN the finished .sf3. Prints the largest difference between notes of Fluid R3 GM and
of its cut, uncompressed and unmended (dB of the notes' peak); by how much the level of third-octave
bands differs through compression (mean, 95th percentile, largest, of bands within 40 dB of the
loudest); and how loops close: the jump at the worst seams over what is usual in the same sample.
"""

from __future__ import annotations

import io
import struct
import sys
import tempfile
import tomllib
from pathlib import Path

import numpy as np
import soundfile
from numpy.typing import NDArray

from groove.sound.synth.soundfont_file import presets as places_in
from tests.bench.soundfont import note_figures
from tests.bench.soundfont.__main__ import RECIPE
from tests.bench.soundfont.building import build
from tests.bench.soundfont.choosing import chosen, drum_keys
from tests.bench.soundfont.playing import RATE, Player
from tests.bench.soundfont.reading import read
from tests.bench.soundfont.writing import HEADROOM, write_sf2

VELOCITIES = (50, 110)
EVERY = 4
HEARD = 10**-4
WORST = 8
SOON = round(1.2 * RATE)


def notes(player: Player, bank: int, program: int) -> list[NDArray[np.float32]]:
    """Some notes of a sound, or every piece of a kit, soft and hard."""
    player.choose(bank, program)
    keys = sorted(drum_keys()) if bank else list(note_figures.keys_of(program))[::EVERY]
    return [player.note(key, velocity, 0.7, 0.5)[:SOON] for key in keys for velocity in VELOCITIES]


def null(one: Path, other: Path) -> float:
    """The largest difference between the notes that both fonts have, in dB of the note's peak."""
    worst = 0.0
    with Player(one) as first, Player(other) as second:
        for bank, program in sorted(places_in(other)):
            for a, b in zip(*(notes(p, bank, program) for p in (first, second)), strict=True):
                worst = max(worst, float(np.abs(a - b).max() / max(np.abs(a).max(), 1e-9)))
    return float(20 * np.log10(max(worst, 1e-12)))


def bands(plain: Path, packed: Path) -> NDArray[np.float64]:
    """By how many dB the heard bands of all notes differ, at the same level."""
    found = []
    with Player(plain) as first, Player(packed) as second:
        for bank, program in sorted(places_in(packed)):
            for a, b in zip(*(notes(p, bank, program) for p in (first, second)), strict=True):
                before, after = note_figures.thirds(a), note_figures.thirds(b) / HEADROOM**2
                heard = before > max(before.max() * HEARD, 1e-12)
                found.append(np.abs(10 * np.log10(after[heard] / before[heard])))
    return np.concatenate(found)


def seams(path: Path) -> list[tuple[float, str]]:
    """For every loop how large the bend at its seam is beside the usual bend of its sample."""
    content = path.read_bytes()
    headers = content[content.index(b"shdr", content.rindex(b"pdta")) + 8 :]
    start = content.index(b"smpl") + 8
    found = []
    for name, first, last, begin, end in struct.iter_unpack("<20s4I10x", headers):
        if begin:
            sound, _ = soundfile.read(io.BytesIO(content[start + first : start + last]))
            seam = np.concatenate((sound[end - 64 : end], sound[begin : begin + 64]))
            usual = np.sqrt((np.diff(sound[max(end - 2048, 0) : end], 2) ** 2).mean()) + 1e-9
            bend = float(np.abs(np.diff(seam, 2))[60:66].max() / usual)
            found.append((bend, name.split(b"\0")[0].decode("latin-1")))
    return sorted(found, reverse=True)


def main(source: Path, packages: Path, own: Path) -> None:
    recipe = tomllib.loads(RECIPE.read_text())
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        mended, original = build(recipe, source, packages, folder)
        cut, plain = folder / "cut.sf2", folder / "plain.sf2"
        cut.write_bytes(write_sf2(chosen(read(original), recipe["sounds"]), {"INAM": "cut"}))
        plain.write_bytes(write_sf2(mended, {"INAM": "plain"}))
        print(f"cut, against Fluid R3 GM: {null(original, cut):.0f} dB")
        off = bands(plain, own)
    print(
        f"compressed, by third-octave bands: mean {off.mean():.2f} dB, "
        f"95th percentile {np.percentile(off, 95):.2f} dB, most {off.max():.2f} dB"
    )
    found = seams(own)
    middle = float(np.median([bend for bend, _ in found]))
    worst = ", ".join(f"{bend:.0f} ({name})" for bend, name in found[:WORST])
    print(f"{len(found)} loops: bend at the seam over the usual one {middle:.1f}; worst {worst}")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), Path(sys.argv[3]))
