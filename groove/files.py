"""Writing results: all of them under their final names, or none."""

from __future__ import annotations

import re
import shutil
import tempfile
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from groove.errors import GrooveError
from groove.form.model import Form

LONGEST_NAME = 80  # characters, so that any file system takes it


def file_stem(form: Form) -> str:
    """A file name for a form that sorts and reads well: title, key and tempo.

    >>> from groove.form.read import read_form
    >>> file_stem(read_form("minor-twelve-bar", key="F#", tempo=96, title="Ferry Landing"))
    'ferry-landing_F-sharp-minor_96'
    """
    ascii_title = unicodedata.normalize("NFKD", form.title).encode("ascii", "ignore").decode()
    words = re.findall(r"[a-z0-9]+", ascii_title.lower().replace("'", ""))
    title = "-".join(words)[:LONGEST_NAME].strip("-") or "track"
    tonic = str(form.key.tonic).replace("#", "-sharp").replace("b", "-flat")
    minor = "-minor" if form.key.mode == "minor" else ""
    return f"{title}_{tonic}{minor}_{form.tempo:g}"


@contextmanager
def written_together(targets: list[Path]) -> Iterator[list[Path]]:
    """Temporary paths for some files of one folder, which take their names at the end.

    The folder is made where it does not exist. Whatever fails before the end, the folder and
    the files in it stay as they were. Raises GrooveError, naming the file, where the system
    refuses.
    """
    folder = targets[0].parent
    made = [p for p in (folder, *folder.parents) if not p.exists()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        workplace = Path(tempfile.mkdtemp(prefix=".groove-", dir=folder))
    except OSError as error:
        _remove(made)
        raise GrooveError(f"{folder}: can't be written: {error.strerror or error}") from None
    try:
        staged = [workplace / target.name for target in targets]
        yield staged
        for target in targets:
            if target.is_dir():
                raise GrooveError(f"{target}: a folder stands where the file should go")
        for path, target in zip(staged, targets, strict=True):
            path.replace(target)
        made.clear()
    except OSError as error:
        raise GrooveError(f"{targets[0]}: can't be written: {error.strerror or error}") from None
    except GrooveError as error:
        raise type(error)(str(error).replace(f"{workplace}", f"{folder}")) from None
    finally:
        shutil.rmtree(workplace, ignore_errors=True)
        _remove(made)


def _remove(folders: list[Path]) -> None:
    """Take away folders that were made for nothing, the innermost first."""
    for folder in folders:
        try:
            folder.rmdir()
        except OSError:
            return
