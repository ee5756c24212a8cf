"""Makes the font's presets from Fluid R3 GM and the recorded sets, as the recipe says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from groove.rhythm.kit import INSTRUMENTS
from tests.bench.soundfont import note_figures, recorded
from tests.bench.soundfont.adding import Built, Variant, melodic
from tests.bench.soundfont.choosing import DRUM_BANK, chosen, complete, separate
from tests.bench.soundfont.font import Preset, Sample, instruments_of, samples_of, spread
from tests.bench.soundfont.kit_alternates import alternate_kits
from tests.bench.soundfont.mending import (
    even,
    exclude,
    lacking,
    measure,
    reach,
    release,
    ring_out,
    settle,
    tune,
)
from tests.bench.soundfont.playing import Player
from tests.bench.soundfont.reading import read
from tests.bench.soundfont.sides import attenuate, balance, fold
from tests.bench.soundfont.trimming import fill, trim
from tests.bench.soundfont.writing import write_sf2

HERE = Path(__file__).parent
DEBIAN_FONT = "usr/share/sounds/sf2/FluidR3_GM.sf2"
MATCHED_KEYS = range(40, 85, 4)
"""Keys of a melodic sound over which a recorded set is as loud as what it replaces."""

SAID = 0.05

Recipe = Mapping[str, Any]


def build(recipe: Recipe, source: Path, packages: Path, folder: Path) -> tuple[list[Preset], Path]:
    """The presets, and the original font as .sf2. Files are left in `folder`."""
    original = _font(source, folder)
    presets = read(original)
    names = [
        *recipe["sounds"],
        *(v["name"] for s in recipe["recorded"] for v in s.get("sounds", ())),
    ]
    presets = chosen(presets, names)
    scratch = folder / "scratch.sf2"
    scratch.write_bytes(write_sf2(presets, {"INAM": "scratch"}))
    before = Loudness(scratch)
    sounds, kits = _mended(recipe, presets, folder / "measured.sf2")
    loudness = folder / "loudness.sf2"
    for one in recipe["recorded"]:
        recordings = list(recorded.recordings(_shortened(one), packages))
        built = Built(one["quality"], one.get("rate", recorded.RATE))
        for variant in one.get("sounds", ()):
            preset = melodic(recordings, Variant(**variant), built)
            release(preset, one["release"])
            sounds = [old for old in sounds if old.program != preset.program] + [preset]
            loudness.write_bytes(write_sf2([preset], {"INAM": "scratch"}))
            gain = before.of_sound(preset.program) - Loudness(loudness).of_sound(preset.program)
            for zone in instruments_of([preset])[0].zones:
                attenuate(zone, -gain)
    kits = [*kits, *alternate_kits(kits, recorded.load(HERE / "alternates.toml"))]
    for kit in kits:
        ring_out(kit)
        exclude(kit, {int(key): number for key, number in recipe["exclusive"].items()})
    presets = sounds + kits
    fill(presets)
    _settle(sounds, kits, recipe["softer"])
    return presets, original


class Loudness:
    """The loudness of the sounds of a font, in LUFS."""

    def __init__(self, path: Path) -> None:
        self._player = Player(path)

    def of_sound(self, program: int) -> float:
        """A melodic sound in the mean of MATCHED_KEYS."""
        self._player.choose(0, program)
        sounds = [self._player.note(key, 90, 0.9, 0) for key in MATCHED_KEYS]
        return float(np.mean([note_figures.loudness(sound) for sound in sounds]))


def _font(source: Path, folder: Path) -> Path:
    """The .sf2 itself, out of Debian's package where that is given."""
    if source.suffix != ".deb":
        return source
    target = folder / "FluidR3_GM.sf2"
    target.write_bytes(recorded.files_in(source.read_bytes(), debian=True)[DEBIAN_FONT])
    return target


def _mended(
    recipe: Recipe, presets: Sequence[Preset], scratch: Path
) -> tuple[list[Preset], list[Preset]]:
    """The melodic presets and the kits of Fluid R3 GM, mended."""
    separate(presets)
    for instrument in instruments_of(list(presets)):
        spread(instrument)
    sounds = [preset for preset in presets if preset.bank != DRUM_BANK]
    kits = [preset for preset in presets if preset.bank == DRUM_BANK]
    trim(presets)
    figures = {INSTRUMENTS[name].program: row for name, row in recipe["sounds"].items()}
    for preset in kits + sounds:
        usual = recipe["quality"]["drums" if preset in kits else "sounds"]
        for sample in samples_of([preset]):
            sample.quality = (
                usual if preset in kits else figures.get(preset.program, {}).get("quality", usual)
            )
    folded: dict[tuple[Sample, Sample], Sample] = {}
    leans = {int(key): lean for key, lean in recipe["leans"].items()}
    for preset in sounds:
        reach(preset)
        for instrument in instruments_of([preset]):
            if figures.get(preset.program, {}).get("one_side"):
                fold(instrument, folded)
            else:
                balance(instrument)
    complete(kits)
    for instrument in instruments_of(kits):
        balance(instrument, leans)
    fill(presets)
    sounds = [preset for preset in sounds if preset.program in figures]
    for preset, measured in measure(sounds, scratch).items():
        row = figures[preset.program]
        if row.get("tuned", True):
            tune(preset, measured)
        even(preset, measured)
        if "release" in row:
            release(preset, row["release"])
    return sounds, kits


def _shortened(one: Recipe) -> dict[str, Any]:
    """A recorded set's own recipe, its recordings as much shorter as the font's recipe says."""
    found = recorded.load(HERE / one["recipe"])
    for row in found["recording"]:
        for name in ("seconds", "fade"):
            row[name] *= one.get("length", 1)
    return found


def _settle(sounds: Sequence[Preset], kits: Sequence[Preset], decibels: float) -> None:
    """Make everything softer by some decibels; a sound that lacks more gets softer by so much more,
    all kits by what one of them lacks."""
    lack = max(lacking(kit, decibels) for kit in kits)
    for preset, more in [
        *((kit, lack) for kit in kits),
        *((s, lacking(s, decibels)) for s in sounds),
    ]:
        settle(preset, decibels + more)
        if more > SAID:
            print(f"{preset.bank}:{preset.program} {preset.name}: softer by {more:.1f} dB")
