"""A teacher's words, plain and hostile."""

from __future__ import annotations

from pathlib import Path

import groove
from groove.form.model import Form

TEACHER, LINK = "Ada Finch", "https://lessons.example/blues"
INVITE = "Send me your version."
WHOLE, SECOND, ON_PLAN = "Leave room for the answer.", "Half as many notes.", "Two steps a day."

HOSTILE = '<script>alert(1)</script> & "q" *b* _i_ [x](javascript:1) {0} {{title}} `r` |'

FILE = f"""
title = "Taught"
key = "A"
chords = "I7:4 IV7:2 I7:2 V7 IV7 I7:2"
choruses = 3
teacher = "{TEACHER}"
link = "{LINK}"
invite = "{INVITE}"
[remarks]
lesson = "{WHOLE}"
"chorus 2" = "{SECOND}"
plan = "{ON_PLAN}"
"""


def taught(folder: Path) -> Form:
    path = folder / "taught.toml"
    path.write_text(FILE, "utf-8")
    return groove.read_form(path)


def hostile(folder: Path) -> Form:
    """A form whose teacher's fields are all full of the markup of other languages."""
    quoted = HOSTILE.replace('"', '\\"')
    path = folder / "hostile.toml"
    path.write_text(
        f'title = "{quoted}"\nkey = "A"\nchords = "I7:4 IV7:4"\nteacher = "{quoted}"\n'
        f'link = "https://lessons.example/?a=1&b=(2)\'"\ninvite = "{quoted}"\n'
        f'[remarks]\nlesson = "{quoted}"\nplan = "{quoted}"\n"chorus 1" = "{quoted}"\n',
        "utf-8",
    )
    return groove.read_form(path)
