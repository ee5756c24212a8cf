"""Settings for all tests.

Examples drawn by Hypothesis may take their time, for machines are noisy. Where ``CI`` is set they
are the same in each run, and fewer, so that a change is judged by what it changes; elsewhere they
differ, and find more from run to run.

The synthesiser is loaded before the tests import `soundfile`, whose own libsndfile it would use
otherwise: that decodes a compressed soundfont with other last bits, so that sound made in this
process would differ from that of the program.

A run started with Ctrl-C ignored, as in the background of a shell, doesn't hand that on to the
programs that tests start and stop.

Matrices are multiplied in one thread, as by the program, whose own threads share the cores: where
several did that at once on a busy machine, most of the processor's time was spent in waiting.

What was collected stays until the end, so the search for what can be freed leaves it out.
"""

import contextlib
import gc
import os
import signal
from pathlib import Path

import pytest

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # read when numpy is imported

from hypothesis import HealthCheck, settings

from groove.errors import GrooveError
from groove.sound.synth.fluidsynth import library
from tests.examples import examples
from tests.once import made_once

settings.register_profile(
    "groove",
    deadline=None,
    max_examples=examples(100),
    derandomize="CI" in os.environ,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("groove")

with contextlib.suppress(GrooveError):
    library()

if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)


def pytest_collection_finish() -> None:
    """Thousands of tests are not gone through again at each search for objects in circles."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(10_000, 20, 20)


@pytest.fixture(scope="session")
def whole_pack(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a pack in two keys at two tempos, with stems; tests that change it copy it."""
    from tests.handout.pack.pack_material import pack_into

    return made_once(tmp_path_factory, "whole", pack_into)


@pytest.fixture(scope="session")
def posted_pack(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a pack in two keys with all that is posted, short clips for its videos; tests
    that change it copy it."""
    from tests.handout.pack.posting_material import post_into

    return made_once(tmp_path_factory, "posted", post_into)
