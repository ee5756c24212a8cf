"""Print what the bytes of practice pages are spent on, part by part.

Run as ``python -m tests.bench.page_budget [FORM ...]`` from the checkout; without FORMs a
twelve-bar with five players and an arrangement of 213 bars. A line for each part of a page: the
bytes that it takes there, deflated by itself, and of sounds the megabytes of memory that they take
in a browser once they are decoded, which are 4 bytes for each sample of each side. Every page is to
stay under 4 MB.
"""

from __future__ import annotations

import json
import sys
import tempfile
from pathlib import Path
from typing import Any

from groove.form.model import Form
from groove.form.read import read_form
from groove.handout.practice.deflated import deflated
from groove.handout.practice.make import make_page
from tests.handout.practice.page_material import data_in, text_in

FIVE = {"drums": "shuffle", "comping": "shuffle-chops, boogie-piano", "percussion": "shaker"}
LONG = "tests/arrangements/latin-swing-aaba.toml"
FLOAT = 4


def size(value: Any) -> int:
    """The bytes of a value in a page."""
    return len(deflated(json.dumps(value, ensure_ascii=False, separators=(",", ":"))))


def decoded(sound: dict[str, Any]) -> float:
    """The megabytes of a set of sounds once it is decoded."""
    last = max((note[3] + note[4] for note in sound["notes"]), default=0)
    return float(FLOAT * sound.get("sides", 1) * last / 1e6)


def budget(name: str, form: Form) -> None:
    """Make a form's page and print its budget."""
    with tempfile.TemporaryDirectory() as folder:
        page = make_page(form, Path(folder) / "page.html").read_text("utf-8")
    whole = len(page.encode())
    track, sounds = data_in(page, "track-data"), data_in(page, "sound-data")
    print(f"{name}: {whole / 1e6:.2f} MB, {track['bars']} bars, {len(track['parts'])} players")
    parts = {"notes": size(track["streams"])}
    parts |= {part: size(track[part]) for part in ("guides", "necks")}
    parts["other data"] = size(track) - sum(parts.values())
    parts |= {f"sound: {part}": size(sound) for part, sound in sounds.items()}
    parts["program"] = len(deflated(text_in(page, "program")))
    parts["words and styles"] = whole - sum(parts.values())
    for part, size_ in parts.items():
        sound = sounds.get(part.removeprefix("sound: "))
        memory = f"  {decoded(sound):5.1f} MB decoded, {len(sound['notes'])} notes" if sound else ""
        print(f"  {part:24}{size_ / 1e3:9.1f} kB{memory}")
    print(f"  {'decoded':24}{sum(map(decoded, sounds.values())):9.1f} MB")


def main() -> None:
    asked = sys.argv[1:]
    if not asked:
        budget("twelve-bar", read_form("twelve-bar", **FIVE))
        budget(Path(LONG).stem, read_form(LONG))
    for name in asked:
        budget(Path(name).stem, read_form(name))


if __name__ == "__main__":
    main()
