"""Rendered audio: its type, its rate, and the size of the blocks in which it passes."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.float32]
    """Stereo, of shape (frames, 2); full scale is -1 to 1."""

SAMPLE_RATE = 44_100
"""Frames per second."""
BYTES_A_FRAME = 8
GRAIN = 64
"""The library renders in runs of this many frames and starts notes only between two of them, so
a note sounds within half a run (0.73 ms) of its time."""

BLOCK = 1024 * GRAIN
"""Frames in each block: 1.5 s. The larger, the less the threads wait for one another."""
NO_SOUND = 1e-5
"""Sound below this level (-100 dBFS as it comes from the synthesiser) counts as silence."""
