"""The packs of a lesson: what is expected, the run that is on, what lies there."""

from __future__ import annotations

import asyncio
import json
import os
import time
from dataclasses import asdict, replace
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

from groove.errors import GrooveError
from groove.form.file_names import title_stem
from groove.handout.pack.estimate import Estimate, amount, estimate_here
from groove.handout.pack.folder import earlier, still_good
from groove.handout.pack.plan import form_digest
from groove.handout.pack.prepare import Prepared, prepare
from groove.screen.posting.contents import Entry, contents, entries_of, folder_of
from groove.screen.posting.job import Job
from groove.screen.posting.last import last_wish, newest_pack
from groove.screen.posting.wish import WORDS, Wish, choices, takes_all, usual
from groove.screen.posting.worker import DONE
from groove.screen.start.form_files import newest_first, text_at, values_in
from groove.wording import said, worded

if TYPE_CHECKING:
    from groove.form.model import Form
    from groove.screen.session import Lesson, Session

MOST_LESSONS = 500
"""Form files of the folder that are looked at for the same title."""
SECONDS_TO_CALM = 180.0
"""After a run the system's average of work goes on holding the run's own for so long."""


class LessonPacks:
    """The packs of one lesson in this run.

    job: the last one that was begun. planned: its files; prints: their fingerprints by path.
    _busy_before: how many cores were busy when it was begun; _ended: when it had ended.
    """

    def __init__(self, session: Session, lesson: Lesson) -> None:
        self.session, self.lesson = session, lesson
        self.job: Job | None = None
        self.planned: list[dict[str, Any]] = []
        self.prints: dict[str, str] = {}
        self._busy_before = self._ended = 0.0
        self._task: asyncio.Task[None] | None = None
        self._asking = asyncio.Lock()

    @property
    def form(self) -> Form:
        """The last form without mistakes. Raises GrooveError where there is none yet."""
        form = self.lesson.form.form
        if form is None:
            raise GrooveError(said(WORDS, "troubles.no_form"))
        return form

    @property
    def folder(self) -> Path:
        """The folder of the pack that is made, or was made last in this run, else the form's."""
        return self.job.folder if self.job else folder_of(self.form, self.session.folder)

    def now(self) -> dict[str, Any]:
        """All that the page shows, ready for JSON."""
        form = self.lesson.form.form
        if form is None:
            return {"choices": None}
        job = self.job
        wish, source = (job.wish, "") if job else self._last(form)
        return {
            "choices": choices(form),
            "wish": asdict(wish),
            "asFor": source,
            "progress": job.progress() if job else None,
            "outcome": self._outcome(job, form) if job else None,
            "contents": contents(self.folder, self._planned, form),
        }

    def _outcome(self, job: Job, form: Form) -> dict[str, Any]:
        """The end of a run: what it told, how many of its files are there as they should be,
        and whether the form has been changed since it was begun."""
        good = still_good(job.folder, self.prints, earlier(job.folder), quickly=True)
        counted = {"files": len(self.prints), "there": len(good)}
        is_older = form_digest(job.form) != form_digest(form)
        return job.outcome | counted | {"notes": job.notes, "isOlder": is_older}

    def _last(self, form: Form) -> tuple[Wish, str]:
        """The choices of the last time, for this form or else for another, whose folder is named
        then: its tempos are not for this one, nor are its keys, unless they are all twelve."""
        own, other = last_wish(self.folder), newest_pack(self.session.folder)
        if own or other is None:
            return own or usual(form), ""
        before = last_wish(other)
        if before is None:
            return usual(form), ""
        keys = before.keys if before.is_in_all_keys and takes_all(form) else usual(form).keys
        return replace(before, keys=keys, tempos=""), other.name

    @property
    def _planned(self) -> list[Entry]:
        """The files to look for: those that were planned, where the pack is not whole."""
        return list(self.planned) if self.job and self.job.state != DONE else []

    async def expected(self, wish: Wish) -> dict[str, Any]:
        """The files, size and time that a wish takes, ready for JSON. Raises GrooveError where it
        can't be made."""
        async with self._asking:
            form = self.form
            ready = await asyncio.to_thread(self._prepared, form, wish)
            same = await asyncio.to_thread(self._same_title, form)
        expected = self._estimate(ready)
        return {
            "files": expected.files,
            "there": len(ready.good),
            "going": len(ready.going),
            "size": amount(expected.size),
            "zip": amount(expected.zip_size),
            "seconds": expected.seconds,
            "isMuch": expected.is_huge,
            "folder": ready.place.name,
            "same": same,
            "mistakes": len(self.lesson.form.mistakes),
        }

    async def begin(self, wish: Wish) -> None:
        """Begin to make the last form without mistakes. Raises GrooveError where that can't be."""
        if self.job and self.job.is_on:
            raise GrooveError(said(WORDS, "troubles.busy"))
        async with self._asking:
            async with self.lesson.lock:
                form = self.form
            ready = await asyncio.to_thread(self._prepared, form, wish)
            if self.job and self.job.is_on:
                raise GrooveError(said(WORDS, "troubles.busy"))
            seconds = self._estimate(ready).seconds
            self._busy_before = self._busy
            self.planned = entries_of(ready.plan)
            self.prints = {piece.path: piece.fingerprint for piece in ready.plan.pieces}
            self.job = Job(form, ready.place, wish, seconds)
            self._task = asyncio.create_task(self._run(self.job))

    def stop(self) -> None:
        """Have the run that is on stop."""
        if self.job and self.job.is_on:
            self.job.stop()
            self._tell()

    async def _run(self, job: Job) -> None:
        with self.session.work():
            try:
                await job.run(self._tell)
            finally:
                self._ended = time.monotonic()
                self._tell()

    @property
    def _busy(self) -> float:
        """The number of cores that other programs keep busy. A run of this lesson is none of them,
        so what was measured before it holds for a while after it."""
        now = os.getloadavg()[0]
        if self.job is None or not (
            self.job.is_on or time.monotonic() - self._ended < SECONDS_TO_CALM
        ):
            return now
        return min(now, self._busy_before)

    def _estimate(self, ready: Prepared) -> Estimate:
        return estimate_here(ready.missing, ready.plan.tasks, self._busy)

    def _tell(self) -> None:
        """Tell the lesson's windows that the run has gone on."""
        if self.job:
            self.lesson.tell(f"posting {json.dumps(self.job.progress())}")

    def _prepared(self, form: Form, wish: Wish) -> Prepared:
        folder = folder_of(form, self.session.folder)
        with worded(form.lesson.words):
            return prepare(form, folder, quickly=True, **wish.options(form))

    def _same_title(self, form: Form) -> str:
        """The name of another lesson whose pack has the same folder; empty where there is none."""
        own, stem = self.lesson.form.path.name, title_stem(form.title)
        for path in islice(newest_first(self.session.folder), MOST_LESSONS):
            title = (values_in(text_at(path)) or {}).get("title")
            if path.name != own and isinstance(title, str) and title_stem(title) == stem:
                return path.name
        return ""
