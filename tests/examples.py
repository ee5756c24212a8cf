"""How many examples Hypothesis draws for a law."""

from __future__ import annotations

import os

LEAST = 8


def examples(count: int) -> int:
    """So many examples; a third of them, but a few, where `CI` is set: there they are the same in
    each run, and what they can find has been found."""
    return max(min(count, LEAST), count // 3) if "CI" in os.environ else count
