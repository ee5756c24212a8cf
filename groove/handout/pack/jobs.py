"""Runs the jobs of a pack, on all cores or on a given executor: plain data in, files out.

A job can be sent to another process or another machine that sees the same folder. It writes its
files itself, whole or not at all, and returns a record of them.
"""

from __future__ import annotations

import multiprocessing
import os
import shutil
import signal
import tempfile
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import (
    FIRST_COMPLETED,
    CancelledError,
    Executor,
    Future,
    ProcessPoolExecutor,
    wait,
)
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from functools import cache
from multiprocessing import resource_tracker
from pathlib import Path
from typing import TYPE_CHECKING

from groove.errors import GrooveError
from groove.handout.pack.folder import STATE, Aside, Made, put
from groove.handout.pack.plan import HAS_BITS, Task, pictures_digest, program_digest, wav_bits
from groove.handout.pack.posting import Posting
from groove.sound.options import AudioOptions, Wanted
from groove.sound.synth.soundfonts import Fonts
from groove.wording import worded

if TYPE_CHECKING:
    from groove.sound.kept_parts import KeptParts


@dataclass(frozen=True, slots=True)
class Job:
    """A task to be done in a folder, with these soundfonts, on paper of this size. private: its
    sounds may not be posted. before: digests of what earlier runs made under each name. posting:
    the look of what is posted. sound: the name of a WAV in the folder that a video has its sound
    from; without one it is rendered."""

    task: Task
    folder: str
    fonts: Fonts
    asked: Wanted
    paper: str
    private: bool
    before: Mapping[str, frozenset[str]]
    posting: Posting
    sound: str | None = None


@dataclass(frozen=True, slots=True)
class Outcome:
    """The files that a job has made, those that it has set aside, and notes for the reader."""

    made: tuple[Made, ...]
    aside: tuple[Aside, ...]
    notes: tuple[str, ...]


def run_job(job: Job) -> Outcome:
    """Make the files of a job. Raises GrooveError; then none of them has its name."""
    folder = Path(job.folder)
    notes: list[str] = []
    work: Path | None = None
    try:
        work = Path(tempfile.mkdtemp(prefix="work-", dir=folder / STATE))
        with worded(job.task.form.lesson.words):
            _make(job, work, notes.append)
        files = {piece.path: work / piece.made_as for piece in job.task.pieces}
        fingerprints = {piece.path: piece.fingerprint for piece in job.task.pieces}
        made, aside = put(folder, work, files, fingerprints, job.before)
    except GrooveError as error:
        raise GrooveError(str(error).replace(f"{work}", job.folder)) from None
    except OSError as error:
        place = folder / job.task.pieces[0].path
        raise GrooveError(f"{place}: can't be written: {error.strerror or error}") from None
    finally:
        if work:
            shutil.rmtree(work, ignore_errors=True)
    return Outcome(made, aside, tuple(note for note in notes if not note.startswith("soundfont:")))


def run_elsewhere(job: Job) -> Outcome:
    """Like run_job, on a worker of some executor. Raises GrooveError where its program is not the
    one that planned the job, since its files could differ."""
    made_from = job.task.pieces[0].made_from
    pictures = made_from.get("pictures")
    if made_from["program"] != program_digest() or pictures not in (None, pictures_digest()):
        raise GrooveError("a worker has another version of groove, or of the libraries it needs")
    return run_job(job)


def _make(job: Job, work: Path, say: Callable[[str], None]) -> None:
    """Make a job's files in `work`, without the notes that groove.pack has said before."""
    task = replace(job.task, form=replace(job.task.form, notes=()))
    if task.kind == "track":
        from groove.track import make

        make(
            task.form,
            work,
            audio=_formats(task) or "none",
            soundfont=job.fonts if _formats(task) else None,
            say=say,
            kept=_kept_parts(),
            **_options(job),
        )
    elif task.kind == "chart":
        from groove.handout.chart.files import chart, write_chart_files
        from groove.handout.pack.picture import chart_picture

        written = chart(task.form, task.request.reader)
        names = [work / piece.made_as for piece in task.pieces]
        pictures = [name for name in names if name.suffix == ".svg"]
        write_chart_files(written, [n for n in names if n not in pictures], paper=job.paper)
        for name in pictures:
            name.write_bytes(chart_picture(written))
    elif task.kind == "sheet":
        from groove.handout.sheet.files import write_sheet_files
        from groove.handout.sheet.sheet import write_sheet

        sheet = write_sheet(task.form, task.request)
        write_sheet_files(sheet, [work / task.pieces[0].made_as], paper=job.paper)
    elif task.kind in ("video", "cover", "preview", "post"):
        _make_posted(job, task, work, say)
    else:
        from groove.handout.practice.make import make_page

        make_page(
            task.form,
            work / task.pieces[0].made_as,
            soundfont=job.fonts,
            private=job.private,
            served=True,
            request=task.request,
        )


def _make_posted(job: Job, task: Task, work: Path, say: Callable[[str], None]) -> None:
    """Make videos, covers, a preview or texts."""
    paths = [work / piece.made_as for piece in task.pieces]
    if task.kind == "video":
        _make_videos(job, task, work, say)
    elif task.kind == "cover":
        from groove.handout.posting.cover import make_cover

        for piece, path in zip(task.pieces, paths, strict=True):
            make_cover(task.form, path, size=piece.size, theme=job.posting.theme, say=say)
    elif task.kind == "preview":
        from groove.handout.posting.preview import make_preview

        make_preview(task.form, paths[0], soundfont=job.fonts, **_main_mix(job.asked))
    else:
        from groove.handout.posting.text import posting_text, write_text_files

        text = posting_text(
            task.form,
            request=task.request,
            fonts=job.fonts,
            without=job.asked.without,
            only=job.asked.only,
            lead_in=job.posting.lead_in,
        )
        write_text_files(text, paths)


def _make_videos(job: Job, task: Task, work: Path, say: Callable[[str], None]) -> None:
    """Make a track's videos, all with the same sound."""
    from groove.handout.video.make import make_video
    from groove.track import make

    options = _main_mix(job.asked)
    if job.sound is None:
        audio: AudioOptions = {**options, "bits": wav_bits(job.asked)}
        _, sound = make(
            task.form, work / "sound", audio="wav", soundfont=job.fonts, say=say,
            kept=_kept_parts(), **audio,
        )  # fmt: skip
    else:
        sound = Path(job.folder) / job.sound
    for piece in task.pieces:
        make_video(
            task.form,
            work / piece.made_as,
            size=piece.size,
            theme=job.posting.theme,
            show=job.posting.show,
            request=task.request,
            soundfont=job.fonts,
            audio=sound,
            say=say,
            **options,
        )


def _main_mix(asked: Wanted) -> AudioOptions:
    """The options for the mix that is meant by a track, and no other."""
    return {
        "without": asked.without,
        "only": asked.only,
        "loudness": asked.loudness,
        "apart": asked.apart,
    }


@cache
def _kept_parts() -> KeptParts:
    """The drums of this process's tracks, which are the same in the next key."""
    from groove.sound.kept_parts import KeptParts

    return KeptParts()


def _formats(task: Task) -> list[str]:
    return list(dict.fromkeys(piece.format for piece in task.pieces if piece.format))


def _options(job: Job) -> AudioOptions:
    """The options for groove.make by which it makes the missing files and no others."""
    asked, pieces = job.asked, job.task.pieces
    mixes = [piece.mix for piece in pieces if piece.mix]
    if not mixes:
        return {}
    options = _main_mix(asked)
    if set(HAS_BITS) & set(_formats(job.task)):
        options["bits"] = asked.bits
    options["stems"] = asked.stems and not all(mix.mastered for mix in mixes)
    options["without_each"] = asked.without_each and any(
        mix.mastered and mix.suffix for mix in mixes
    )
    return options


def run_jobs(jobs: Sequence[Job], executor: Executor | None, at_once: int) -> Iterator[Outcome]:
    """Run jobs, `at_once` side by side on this machine or on `executor`; outcomes as they come.

    At the first that fails no more are begun, those under way are let finish, and its GrooveError
    is raised. Where the reader stops, or is interrupted, our own processes end at once.
    """
    with _begun(jobs, executor, at_once) as futures:
        waiting = set(futures)
        failure: BaseException | None = None
        while waiting:
            done, waiting = wait(waiting, return_when=FIRST_COMPLETED)
            for future in done:
                error = CancelledError() if future.cancelled() else future.exception()
                if error is None:
                    yield future.result()
                elif failure is None:
                    failure = error
                    for later in waiting:
                        later.cancel()
        if isinstance(failure, BrokenProcessPool):
            raise GrooveError(
                "a process that was making files was ended from outside, perhaps for want of "
                "memory; what is finished stays, and the next run goes on from there"
            )
        if isinstance(failure, CancelledError):
            raise GrooveError(
                "the executor has given up jobs; what is finished stays, and the next run goes on "
                "from there"
            )
        if failure:
            raise failure


@contextmanager
def _begun(
    jobs: Sequence[Job], executor: Executor | None, at_once: int
) -> Iterator[list[Future[Outcome]]]:
    if executor is not None:
        futures = [executor.submit(run_elsewhere, job) for job in jobs]
        try:
            yield futures
        finally:
            for future in futures:
                future.cancel()
        return
    others = set(multiprocessing.active_children())
    pool = None
    try:
        with _unstoppable():
            resource_tracker.ensure_running()  # which lets some signals through again
        with _unstoppable():
            # Spawned, since a fork of a process with threads (encoders', the caller's) may hang.
            pool = ProcessPoolExecutor(
                min(at_once, len(jobs)),
                multiprocessing.get_context("spawn"),
                initializer=_settle_worker,
            )
            futures = [pool.submit(run_job, job) for job in jobs]
        yield futures
    except BaseException:
        for child in set(multiprocessing.active_children()) - others:
            child.kill()
        raise
    finally:
        if pool:
            pool.shutdown(wait=True, cancel_futures=True)


@contextmanager
def _unstoppable() -> Iterator[None]:
    """Signals wait until processes are started. The processes do not get the signals that a
    terminal sends to all: this one ends them, and multiprocessing's own tracker would complain."""
    before = signal.pthread_sigmask(
        signal.SIG_BLOCK, {signal.SIGINT, signal.SIGHUP, signal.SIGTERM}
    )
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _settle_worker() -> None:
    """Let a worker end at a signal, and when the process that started it has ended in any way."""
    signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGTERM})
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        with suppress(OSError):
            parent.join()
        os._exit(1)
