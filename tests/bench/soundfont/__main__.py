"""Builds the package's own soundfont and the licence text beside it.

Run as ``python -m tests.bench.soundfont SOURCE PACKAGES TARGET [tables]``. SOURCE is the package
`fluid-soundfont-gm` of Debian (.deb) or its FluidR3_GM.sf2; PACKAGES is a folder with the packages
of the recorded sets, or into which they are fetched; TARGET is the .sf3 to be written, with
LICENCE.txt in the same folder. With the word ``tables`` it prints what was measured before and
after, which takes minutes more. The same packages and the same versions of libsndfile, soxr and
FluidSynth give the same bytes.
"""

from __future__ import annotations

import hashlib
import sys
import tempfile
import tomllib
from pathlib import Path

from tests.bench.soundfont.building import build
from tests.bench.soundfont.licences import info, licence_text
from tests.bench.soundfont.tables import print_kits, print_sounds
from tests.bench.soundfont.writing import write_sf3

RECIPE = Path(__file__).with_name("recipe.toml")


def main(source: Path, packages: Path, target: Path, tables: bool = False) -> None:
    recipe = tomllib.loads(RECIPE.read_text())
    with tempfile.TemporaryDirectory() as folder:
        presets, original = build(recipe, source, packages, Path(folder))
        target.write_bytes(write_sf3(presets, info(recipe)))
        target.with_name("LICENCE.txt").write_text(licence_text(recipe))
        if tables:
            print_sounds(original, target, presets)
            print_kits(original, target)
    content = target.read_bytes()
    print(f"{target}: {len(content):,} bytes, SHA-256 {hashlib.sha256(content).hexdigest()}")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), Path(sys.argv[3]), "tables" in sys.argv[4:])
