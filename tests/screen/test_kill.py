"""A form survives the sudden end of the process that edits it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_a_process_that_is_killed_while_it_edits_loses_nothing() -> None:
    """The bench goes on until something is lost, or it has killed as often as it is told."""
    command = [sys.executable, "-m", "tests.bench.screen_kill", "6", "0"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, done.stderr
    assert "6 processes killed" in done.stdout
