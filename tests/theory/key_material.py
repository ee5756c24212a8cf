"""The keys that tests go through."""

from groove.theory.keys import FLATTEST, MINOR_SIGNATURE, SHARPEST, Key
from groove.theory.pitch import NoteName

KEYS = tuple(
    Key(NoteName(signature - (MINOR_SIGNATURE if mode == "minor" else 0)), mode)
    for mode in ("major", "minor")
    for signature in range(FLATTEST, SHARPEST + 1)
)
"""The fifteen major and the fifteen minor keys, from seven flats to seven sharps."""
