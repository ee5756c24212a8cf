"""The run that makes a lesson's pack: a process of its own, what it tells, its end."""

from __future__ import annotations

import asyncio
import json
import os
import signal
import sys
import time
from asyncio.subprocess import DEVNULL, PIPE, Process
from collections.abc import Callable
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from groove.screen.posting.wish import Wish
from groove.screen.posting.worker import FAILED, MODULE, STOPPED, packed

if TYPE_CHECKING:
    from groove.form.model import Form

COMMAND = (sys.executable, "-P", "-m", MODULE)
RUNNING, STOPPING = "running", "stopping"
TRUST = 0.1
"""The share of the work after which what it took counts as much as the estimate before it."""
SECONDS_TO_STOP = 20.0
LONGEST_LINE = 1 << 20
MOST_NOTES = 50


@dataclass
class Job:
    """A run that makes a pack. expected: the seconds that it takes by the estimate before it.

    state: running, stopping, done, stopped or failed. share: of the work that is done, 0 to 1.
    outcome: what the run told at its end. _loaded: seconds until the first file was begun; _told:
    those from then on at which the share was told.
    """

    form: Form
    folder: Path
    wish: Wish
    expected: float
    state: str = RUNNING
    share: float = 0.0
    notes: list[str] = field(default_factory=list)
    outcome: dict[str, Any] = field(default_factory=dict)
    _begun: float = field(default_factory=time.monotonic)
    _loaded: float = 0.0
    _told: float = 0.0
    _process: Process | None = None

    @property
    def is_on(self) -> bool:
        """Whether it has not ended yet."""
        return self.state in (RUNNING, STOPPING)

    def progress(self) -> dict[str, Any]:
        """Its progress, ready for JSON: seconds since its beginning, and those of the whole."""
        return {
            "state": self.state,
            "share": self.share,
            "elapsed": time.monotonic() - self._begun,
            "whole": self._loaded + whole_time(self.expected, self.share, self._told),
        }

    async def run(self, changed: Callable[[], None]) -> None:
        """Run to the end. changed: called after each thing that the run tells. A run that is
        cancelled stops the process first."""
        try:
            self._process = await _started()
            await self._send(self._process)
            if self.state == STOPPING:
                self.stop()
            assert self._process.stdout
            async for line in self._process.stdout:
                self._hear(json.loads(line))
                changed()
        except asyncio.CancelledError:
            self.stop()
            raise
        finally:
            await self._end()
            if not self.outcome:
                self.outcome = {"ended": STOPPED if self.state == STOPPING else FAILED}
            self.state = self.outcome["ended"]

    def stop(self) -> None:
        """Have it stop; what is finished stays. A process that does not heed that is ended."""
        self.state = STOPPING
        if self._process:
            self._tell_to_stop(self._process)
            later = asyncio.get_running_loop().call_later
            later(SECONDS_TO_STOP, self._kill, self._process)

    async def _send(self, process: Process) -> None:
        assert process.stdin
        options = self.wish.options(self.form)
        process.stdin.write(packed(self.form, self.folder, asdict(self.wish), options))
        with suppress(ConnectionError):
            await process.stdin.drain()

    def _hear(self, told: dict[str, Any]) -> None:
        if "share" in told:
            elapsed = time.monotonic() - self._begun
            if not told["share"]:
                self._loaded = elapsed
            self.share, self._told = told["share"], elapsed - self._loaded
        elif "say" in told:
            kind, _, words = str(told["say"]).partition(": ")
            if kind in ("note", "caution") and len(self.notes) < MOST_NOTES:
                self.notes.append(words)
        else:
            self.outcome = told

    async def _end(self) -> None:
        """Wait until the process has ended, and end it where it does not stop."""
        process = self._process
        if process is None:
            return
        self._tell_to_stop(process)
        try:
            await asyncio.wait_for(process.wait(), SECONDS_TO_STOP)
        except TimeoutError:
            self._kill(process)
            await process.wait()

    @staticmethod
    def _tell_to_stop(process: Process) -> None:
        if process.stdin:
            process.stdin.close()

    @staticmethod
    def _kill(process: Process) -> None:
        """End a process that still runs, with those that it has started."""
        if process.returncode is not None:
            return
        with suppress(ProcessLookupError):
            if sys.platform == "win32":
                process.kill()
            else:
                os.killpg(process.pid, signal.SIGKILL)


async def _started() -> Process:
    """The process, which gets no signal that a terminal sends to all: it is told to stop once."""
    paths = os.pathsep.join(filter(None, sys.path))
    return await asyncio.create_subprocess_exec(
        *COMMAND,
        stdin=PIPE,
        stdout=PIPE,
        stderr=DEVNULL,
        start_new_session=True,
        limit=LONGEST_LINE,
        env=os.environ | {"PYTHONPATH": paths},
    )


def whole_time(expected: float, share: float, seconds: float) -> float:
    """The seconds that all of the work takes, where a share of it has taken so many.

    >>> whole_time(60, 0, 0), whole_time(60, 0.5, 60), whole_time(60, 1, 30)
    (60.0, 110.0, 32.72727272727273)
    """
    return (expected * TRUST + seconds) / (TRUST + share)
