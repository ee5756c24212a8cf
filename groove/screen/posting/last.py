"""The choice of the last time: read from the pack that was made then, or begun."""

from __future__ import annotations

import json
from collections.abc import Iterable
from contextlib import suppress
from itertools import islice
from pathlib import Path
from typing import Any

from groove.errors import GrooveError
from groove.handout.pack.folder import FORMAT, MANIFEST, STATE, write_whole
from groove.handout.pack.papers import CONCERT
from groove.screen.posting.wish import Wish, read_wish
from groove.theory.keys import Key

ASKED = "asked.json"
"""The name of the choices in the state folder of a pack that is being made."""
MOST_PACKS = 1000
LARGEST = 50_000_000
"""Bytes of a manifest that is read; one of 5,000 tracks has less."""


def keep_asked(folder: Path, wish: dict[str, Any]) -> None:
    """Keep the choices of a pack that is being made, for as long as it is not whole."""
    with suppress(OSError):
        write_whole(folder / STATE / ASKED, json.dumps(wish).encode())


def last_wish(folder: Path) -> Wish | None:
    """The choices of the pack in a folder, None where there is none that can be read."""
    with suppress(GrooveError):
        return read_wish(read_json(folder / STATE / ASKED))
    content = manifest_of(folder)
    with suppress(GrooveError, LookupError, TypeError, ValueError, AttributeError):
        return read_wish(_asked(content["files"], content["form"]["tempo"]))
    return None


def newest_pack(lessons: Path) -> Path | None:
    """The folder of the pack that was made last among those in the lessons' folder."""
    found = []
    with suppress(OSError):
        for path in islice(lessons.glob(f"*/{MANIFEST}"), MOST_PACKS):
            with suppress(OSError):
                found.append((path.stat().st_mtime, path.parent))
    return max(found)[1] if found else None


def manifest_of(folder: Path) -> dict[str, Any]:
    """The manifest of the pack in a folder; empty where there is none that can be read."""
    content = read_json(folder / MANIFEST)
    return content if isinstance(content, dict) and content.get("pack") == FORMAT else {}


def read_json(path: Path) -> Any:
    """The content of a file as JSON, None where it is none, or too large."""
    try:
        if path.is_symlink() or path.stat().st_size > LARGEST:
            return None
        return json.loads(path.read_bytes())
    except (OSError, ValueError, RecursionError):
        return None


def _asked(files: list[dict[str, Any]], usual: float) -> dict[str, Any]:
    """The choices from which a list of files follows, as the page sends them."""
    kinds = {kind: [each for each in files if each["kind"] == kind] for kind in _kinds(files)}
    mixes = {_from(each, "mix") for each in kinds.get("audio", [])} - {"all"}
    tempos = sorted({each["tempo"] for each in files if each["tempo"] is not None})
    charts = [each for each in kinds.get("chart", []) if each["path"].endswith(".pdf")]
    readers = {json.loads(_from(each, "shown"))["reader"] for each in charts}
    pictures = [*kinds.get("video", []), *kinds.get("cover", [])]
    videos = kinds.get("video", [])
    return {
        "keys": sorted({Key.parse(e["key"]).tonic.pitch_class for e in files if e["key"]}),
        "tempos": "" if tempos == [usual] else ", ".join(f"{tempo:g}" for tempo in tempos),
        "audio": sorted({_from(each, "format") for each in kinds.get("audio", [])}),
        "stems": any(not _is_choice(mix) for mix in mixes),
        "without_each": any(map(_is_choice, mixes)),
        "readers": sorted(readers - {CONCERT}),
        "paper": _from(charts[0], "paper"),
        "video": sorted({_from(each, "size") for each in videos}),
        "cover": "cover" in kinds,
        "preview": "preview" in kinds,
        "text": "post" in kinds,
        **({"theme": _from(pictures[0], "theme")} if pictures else {}),
        **({"show": _from(videos[0], "show")} if videos else {}),
    }


def _kinds(files: Iterable[dict[str, Any]]) -> set[str]:
    return {str(each["kind"]) for each in files}


def _from(entry: dict[str, Any], what: str) -> str:
    """A thing that a file is made from, by name."""
    return str(entry["made_from"][what])


def _is_choice(mix: str) -> bool:
    """Whether a mix is of several players, rather than one player's stem."""
    return mix.startswith(("_without-", "_only-"))
