"""The pack that lies in a folder: its files by kind, and which of them the page may have."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from groove.form.file_names import name_parts
from groove.form.readers import READERS
from groove.handout.pack.estimate import amount
from groove.handout.pack.folder import INDEX, STATE, Earlier, earlier
from groove.handout.pack.papers import CONCERT
from groove.handout.pack.plan import form_digest
from groove.handout.pack.watch import parts_of
from groove.screen.posting.last import manifest_of
from groove.theory.keys import Key
from groove.theory.symbols import key_words
from groove.wording import worded

if TYPE_CHECKING:
    from groove.form.model import Form
    from groove.handout.pack.plan import PackPlan

MEDIA = {
    "mp3": "audio/mpeg",
    "ogg": "audio/ogg",
    "flac": "audio/flac",
    "wav": "audio/wav",
    "mp4": "video/mp4",
    "png": "image/png",
    "svg": "image/svg+xml",
    "pdf": "application/pdf",
    "txt": "text/plain; charset=utf-8",
    "md": "text/plain; charset=utf-8",
    "mid": "audio/midi",
    "musicxml": "application/octet-stream",
    "zip": "application/zip",
}
"""Types of the files that the page may have, by their endings: none in which a program can run."""
KINDS = ("audio", "preview", "video", "cover", "post", "chart", "sheet", "midi", "page", "text")
"""The kinds of files in the order in which they are told; text: those that describe the others."""
LARGEST_TEXT = 200_000
RANKS = {name: number for number, name in enumerate(READERS)}
_SUFFIX = re.compile(r"\.([a-z0-9]+)$")

Entry = Mapping[str, Any]


def folder_of(form: Form, lessons: Path) -> Path:
    """The folder of a form's pack, which groove.pack would name so too."""
    with worded(form.lesson.words):
        return lessons / name_parts(form).title


def entries_of(plan: PackPlan) -> list[dict[str, Any]]:
    """The files of a plan, as a manifest has them."""
    return [
        {
            "path": piece.path,
            "kind": piece.kind,
            "what": piece.label,
            "key": piece.key,
            "tempo": piece.tempo,
            "made_from": dict(piece.made_from),
        }
        for piece in plan.pieces
    ]


def contents(
    folder: Path, planned: Iterable[Entry] = (), form: Form | None = None
) -> dict[str, Any] | None:
    """The contents of a pack's folder, ready for JSON; None where nothing is known to be there.

    planned: the files of a pack that was begun, beside those of the manifest of one before it.
    form: as it is now; ``isOlder`` says whether the pack was made of it as it was before. ``zip``:
    of a whole pack that of everything, its path and its size.
    ``kinds``: how many files of each kind there are, and their bytes. ``keys``: of each key that
    has files its papers and, by tempo, its tracks.
    """
    if folder.is_symlink() or not folder.is_dir():
        return None
    known, manifest = earlier(folder), manifest_of(folder)
    is_whole = bool(manifest) and not (folder / STATE).exists()
    files = list({each["path"]: each for each in (*_listed(manifest), *planned)}.values())
    found = [(each, size) for each in files if (size := _size(folder, each["path"], known))]
    if not found and not known.made:
        return None
    kinds: dict[str, list[int]] = {}
    for each, size in found:
        counted = kinds.setdefault(each["kind"], [0, 0])
        counted[0] += 1
        counted[1] += size
    return {
        "folder": folder.name,
        "path": str(folder.absolute()),
        "isWhole": is_whole,
        "isOlder": form is not None and _is_of_another(form, files),
        "overview": is_whole and _size(folder, INDEX, known) > 0,
        "zip": _zip(folder, manifest.get("zip"), known) if is_whole else None,
        "kinds": [
            (kind, kinds[kind][0], amount(kinds[kind][1])) for kind in KINDS if kind in kinds
        ],
        "keys": _keys(found),
    }


def _is_of_another(form: Form, files: Iterable[Entry]) -> bool:
    """Whether the practice page, which is of the form in its own key and tempo, is of another."""
    pages = [each["made_from"].get("form") for each in files if each["kind"] == "page"]
    return bool(pages) and form_digest(form) not in pages


def _zip(folder: Path, name: object, known: Earlier) -> dict[str, str] | None:
    """The zip of a whole pack, by the name that its manifest has."""
    size = _size(folder, name, known) if isinstance(name, str) and ending(name) == "zip" else 0
    return {"path": str(name), "size": amount(size)} if size else None


def _listed(manifest: Mapping[str, Any]) -> list[Entry]:
    """The files of a manifest, without entries that are none."""
    files = manifest.get("files")
    return [
        each
        for each in (files if isinstance(files, list) else [])
        if isinstance(each, dict)
        and isinstance(each.get("path"), str)
        and each.get("kind") in KINDS
        and isinstance(each.get("made_from"), dict)
        and isinstance(each.get("what"), str)
    ]


def _keys(found: Iterable[tuple[Entry, int]]) -> list[dict[str, Any]]:
    keys: dict[str, dict[str, Any]] = {}
    for each, size in found:
        symbol, tempo = each.get("key"), each.get("tempo")
        if not isinstance(symbol, str):
            continue
        try:
            words = key_words(Key.parse(symbol))
        except ValueError:
            continue
        new = {"key": symbol, "words": words, "papers": [], "tracks": {}}
        in_key = keys.setdefault(symbol, new)
        if isinstance(tempo, int | float):
            track = in_key["tracks"].setdefault(f"{tempo:g}", {"tempo": tempo, "files": []})
            track["files"].append(_entry(each, size))
        else:
            in_key["papers"].append(_entry(each, size))
    for each in keys.values():
        each["papers"].sort(key=lambda entry: RANKS.get(entry["reader"], len(RANKS)))
        each["tracks"] = list(each["tracks"].values())
    return list(keys.values())


def _entry(each: Entry, size: int) -> dict[str, Any]:
    made_from = each["made_from"]
    return {
        "path": each["path"],
        "kind": each["kind"],
        "what": each["what"],
        "format": ending(each["path"]),
        "mix": str(made_from.get("mix", "")),
        "shape": str(made_from.get("size", "")),
        "reader": _reader(made_from),
        "size": amount(size),
    }


def _reader(made_from: Mapping[str, Any]) -> str:
    """For whom a paper is; of other files that of concert pitch."""
    try:
        return str(json.loads(made_from["shown"])["reader"])
    except (LookupError, TypeError, ValueError, RecursionError):
        return CONCERT


def ending(name: str) -> str:
    """The ending of a file's name, without its point."""
    found = _SUFFIX.search(name)
    return found[1] if found else ""


def _size(folder: Path, name: str, known: Earlier) -> int:
    """The bytes of a file of the pack, 0 where it is not there."""
    path = _place(folder, name, known)
    return path.stat().st_size if path else 0


def _place(folder: Path, name: str, known: Earlier) -> Path | None:
    """The place of a file that is known to be of the pack; None for others, and for links."""
    if name not in known.names:
        return None
    path = folder / name
    linked = any(each.is_symlink() for each in (folder, path.parent, path))
    return path if path.is_file() and not linked else None


def shown_file(folder: Path, name: str) -> Path | None:
    """The file of the pack in a folder that the page may have under a name; None for any other."""
    if ending(name) not in MEDIA or not folder.is_dir():
        return None
    return _place(folder, name, earlier(folder))


def text_of(folder: Path, name: str, form: Form) -> dict[str, str] | None:
    """The parts of a text to post, by name, in the form's words; None where there is no such."""
    path = shown_file(folder, name)
    if path is None or ending(name) != "txt" or path.stat().st_size > LARGEST_TEXT:
        return None
    with worded(form.lesson.words):
        return {part: words.strip() for part, words in parts_of(path.read_text("utf-8")).items()}
