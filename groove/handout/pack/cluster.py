"""Runs the jobs of a pack on the workers of a dask cluster."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from typing import Any

from groove.errors import GrooveError, OptionError

ANSWER_SECONDS = 10.0
"""After this time without an answer, the scheduler counts as out of reach."""


@contextmanager
def cluster_executor(address: str) -> Iterator[Executor]:
    """Yield an executor for groove.pack whose jobs run on a cluster's workers.

    address: of the dask scheduler, as in ``tcp://10.0.0.5:8786``. The jobs of a worker that is
    lost are done by another. Raises OptionError where no scheduler answers or it has no workers,
    and GrooveError where a job loses one worker after another.
    """
    try:
        from distributed import Client, KilledWorker
        from distributed.comm.addressing import resolve_address
    except ImportError:
        raise OptionError("cluster", "needs dask: pip install 'groove[cluster]'") from None
    connected: Any = Client  # whose methods have no types
    logging.getLogger("distributed").setLevel(logging.CRITICAL)
    try:
        resolve_address(address)  # a client that can't read it would be slow and noisy to end
        client = connected(address, timeout=ANSWER_SECONDS, set_as_default=False)
    except Exception as error:  # each way to connect has errors of its own
        raise OptionError("cluster", f"no scheduler answers at {address}: {error}") from None
    try:
        if not client.scheduler_info()["workers"]:
            raise OptionError("cluster", f"the scheduler at {address} has no workers")
        yield client.get_executor(pure=False)
    except KilledWorker:
        raise GrooveError(
            f"the cluster at {address} lost several workers over one file; what is finished "
            "stays, and the next run goes on from there"
        ) from None
    finally:
        client.close()
