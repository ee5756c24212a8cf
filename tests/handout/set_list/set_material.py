"""A set list of three tunes in a folder."""

from pathlib import Path

FERRY = """
title = "Ferry Landing"
key = "F"
tempo = 120
chords = "| Fmaj7 | Gm7 C7 | Fmaj7 | C7 |"
choruses = 1
"""
FRIDAY = """
title = "Friday at the Quay"
for = "Bb, drums"

[[tunes]]
form = "ferry.toml"

[[tunes]]
form = "twelve-bar"
key = "C"
choruses = 1

[[tunes]]
form = "later/ferry.toml"
tempo = 90
title = "Ferry Again"
"""


def set_file(folder: Path, text: str = FRIDAY) -> Path:
    """The file of a set list, its forms beside it and below."""
    (folder / "later").mkdir(parents=True, exist_ok=True)
    for name in ("ferry.toml", "later/ferry.toml"):
        (folder / name).write_text(FERRY, "utf-8")
    (folder / "friday.toml").write_text(text, "utf-8")
    return folder / "friday.toml"
