"""A program that takes the place of the one that makes packs: it tells of work, and makes none."""

from __future__ import annotations

import sys

HEAD = """\
import json, os, sys, time
size = int.from_bytes(os.read(0, 8), "big")
while size > 0:
    size -= len(os.read(0, size))
def tell(**what):
    print(json.dumps(what), flush=True)
"""
WAITS = """\
tell(say="soundfont: one")
tell(say="note: it is told")
tell(share=0.0)
tell(share=0.5)
os.read(0, 1)
tell(ended="stopped")
"""
ENDS = """\
tell(share=0.0)
tell(share=1.0)
tell(ended="done", made=3, kept=0, removed=0, aside=[])
"""
FAILS = 'tell(ended="failed", trouble="no room")\n'
BREAKS = "os._exit(3)\n"
STAYS = """\
import subprocess
child = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(60)"])
tell(say=f"note: {child.pid}")
time.sleep(60)
"""


def program(does: str) -> tuple[str, ...]:
    """The command that runs it."""
    return (sys.executable, "-S", "-c", HEAD + does)
