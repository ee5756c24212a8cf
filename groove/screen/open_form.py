"""A form file that is open on the screen: its text, its history, and what is kept of it on disk.

The file always holds the last text without mistakes. A text with mistakes lies beside it as a
draft, from which the screen goes on after a crash.
"""

from __future__ import annotations

import os
from codecs import BOM_UTF16_BE, BOM_UTF16_LE
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from groove.errors import GrooveError
from groove.form.model import Form
from groove.form.read import LARGEST_FILE
from groove.handout.output import write_contents
from groove.screen.form_text import is_empty
from groove.screen.reading import Mistake, Read, read

DRAFT = ".{name}.draft"
"""The name of a draft, by that of its form file."""
NANOSECONDS = 1_000_000_000
_CHANGED = ("text", "form", "mistakes", "version", "_step")
"""The fields that an edit changes, beside the history."""


class ConflictError(GrooveError):
    """An edit of a text that is no longer the one on the screen."""


@dataclass
class OpenForm:
    """An open form file.

    text: on the screen, with mistakes or without. form: of the last text without mistakes, None
    before there is one and once no bar is left. version: a number that grows with each change.
    """

    path: Path
    text: str = ""
    form: Form | None = None
    mistakes: tuple[Mistake, ...] = ()
    version: int = 0
    _past: list[str] = field(default_factory=list)
    _future: list[str] = field(default_factory=list)
    _step: str = ""
    _on_disk: bytes | None = None

    @classmethod
    def at(cls, path: Path, start: str) -> OpenForm:
        """The form file at a path, or its draft where one is there; start: the text of a file that
        is not there yet."""
        opened = cls(path)
        opened._on_disk = _content(path)
        kept = opened._on_disk
        saved = start if kept is None else text_of(kept)
        opened._take(read(saved, path), saved)
        draft = _content(opened.draft)
        if draft is not None:
            if kept is not None and opened._is_older(draft):
                opened._on_disk = None
            opened.edit(lambda _before: text_of(draft), opened.version)
        elif kept is None:
            opened.keep()
        return opened

    def _is_older(self, draft: bytes) -> bool:
        """Whether a draft is older than the file, which another program has then changed."""
        is_older = self.draft.stat().st_mtime_ns < self.path.stat().st_mtime_ns
        return is_older and text_of(draft) != self.text

    def _date_draft_before_file(self) -> None:
        """Give the draft a date before that of the file, by which it is known after a crash that
        another program has changed the file."""
        with suppress(OSError):
            date = self.path.stat().st_mtime_ns - NANOSECONDS
            os.utime(self.draft, ns=(date, date))

    @property
    def draft(self) -> Path:
        """The place of its draft."""
        return draft_of(self.path)

    @property
    def can_undo(self) -> bool:
        """Whether there is something to undo."""
        return bool(self._past)

    @property
    def can_redo(self) -> bool:
        """Whether there is something to redo."""
        return bool(self._future)

    def edit(self, change: Callable[[str], str], version: int, step: str = "") -> None:
        """Change the text, and keep it on disk. version: of the text that was changed.

        step: a name for what is one step to undo, such as all that is typed into a bar. A change
        with the name of the one before takes its place: it is made in the text before that one.
        Raises ConflictError for another version, GrooveError for an edit that can't be made or a
        text that is too long.
        """
        self._require(version)
        goes_on = bool(step) and step == self._step
        before = self._past[-1] if goes_on else self.text
        text = change(before)
        try:
            size = len(text.encode())
        except UnicodeEncodeError:  # half a sign of two parts
            raise GrooveError("a sign in it can't be written into a file; leave it out") from None
        if size > LARGEST_FILE:
            raise GrooveError(f"more than {LARGEST_FILE:,} bytes; a form is a short file")
        if text == self.text:
            return
        with self._as_before_where_it_fails():
            if goes_on:
                self._past.pop()
            self._step = step if text != before else ""
            if text != before:
                self._past.append(before)
            self._future.clear()
            self._take(read(text, self.path), text)
            self.keep()

    def undo(self, version: int) -> None:
        """Go back to the text before the last change."""
        self._go(self._past, self._future, version)

    def redo(self, version: int) -> None:
        """Go forward to the text that was undone last."""
        self._go(self._future, self._past, version)

    def changed_outside(self) -> bool:
        """Whether another program has changed the file since it was read or written here."""
        return _content(self.path) != self._on_disk

    def take_from_disk(self) -> None:
        """Go on with the file as another program has left it; that can be undone."""
        before, self._on_disk = self._on_disk, _content(self.path)
        found = self._on_disk
        try:
            if found is not None:
                self.edit(lambda _before: text_of(found), self.version)
            self.keep()
        except GrooveError:
            self._on_disk = before
            raise

    def keep_over_disk(self) -> None:
        """Write the text here over what another program has left."""
        self._on_disk = _content(self.path)
        self.keep()

    def keep(self) -> None:
        """Write the text: into the file, or into the draft where it has mistakes.

        What another program has changed in the file is not written over; the draft then holds the
        text. Raises GrooveError where the system refuses.
        """
        content = self.text.encode()
        outside = self.changed_outside()
        if self.mistakes or outside:
            write_contents({self.draft: content})
            if outside:
                self._date_draft_before_file()
            return
        if content != self._on_disk:
            self._write_file(content)
        else:
            self.draft.unlink(missing_ok=True)

    def _write_file(self, content: bytes) -> None:
        """Write the form file. A draft becomes the file, so that no crash leaves an old one."""
        if self.draft.exists():
            write_contents({self.draft: content})
            try:
                self.draft.replace(self.path)
            except OSError as error:
                text = f"{self.path}: can't be written: {error.strerror or error}"
                raise GrooveError(text) from None
        else:
            write_contents({self.path: content})
        self._on_disk = content

    def move(self, path: Path) -> None:
        """Give the file, and its draft, another place beside this one, which must be free. Raises
        GrooveError where the system refuses; both are where they were then."""
        before, moved = self.path, []
        try:
            for old, new in ((before, path), (draft_of(before), draft_of(path))):
                if os.path.lexists(old):
                    old.rename(new)
                    moved.append((old, new))
        except OSError as error:
            for old, new in moved:
                new.rename(old)
            text = f"{before}: can't be renamed: {error.strerror or error}"
            raise GrooveError(text) from None
        self.path = path

    def _require(self, version: int) -> None:
        if version != self.version:
            raise ConflictError("the form has changed in another window")

    def _go(self, source: list[str], target: list[str], version: int) -> None:
        self._require(version)
        if not source:
            return
        with self._as_before_where_it_fails():
            text = source.pop()
            self._step = ""
            target.append(self.text)
            self._take(read(text, self.path), text)
            self.keep()

    @contextmanager
    def _as_before_where_it_fails(self) -> Iterator[None]:
        """Go back to the text, its history and its version where the system refuses to keep a
        change, so that what is shown is what is kept."""
        fields = {name: getattr(self, name) for name in _CHANGED}
        past, future = [*self._past], [*self._future]
        try:
            yield
        except GrooveError:
            for name, value in fields.items():
                setattr(self, name, value)
            self._past[:], self._future[:] = past, future
            raise

    def _take(self, found: Read, text: str) -> None:
        self.text, self.mistakes = text, found.mistakes
        self.form = found.form or (None if is_empty(text) else self.form)
        self.version += 1


def draft_of(path: Path) -> Path:
    """The place of the draft of a form file."""
    return path.with_name(DRAFT.format(name=path.name))


def text_of(content: bytes) -> str:
    """The text of a file, without the mark that some editors put before it.

    A form is written in UTF-8. What is none is taken as what editors on Windows write: UTF-16 where
    its mark is there, else Windows-1252, in which each byte is a sign, so that none is lost.
    """
    if content.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        with suppress(UnicodeDecodeError):
            return content.decode("utf-16")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return "".join(map(_windows_sign, content))


def _windows_sign(byte: int) -> str:
    try:
        return bytes([byte]).decode("cp1252")
    except UnicodeDecodeError:  # five bytes stand for no sign
        return chr(byte)


def _content(path: Path) -> bytes | None:
    """The bytes of a file, None where there is none."""
    try:
        with path.open("rb") as file:
            return file.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        return None
    except OSError as error:
        raise GrooveError(f"{path}: can't be read: {os.strerror(error.errno or 0)}") from None
