"""manifest.json: every file of a pack, what it is, and what it was made from."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from groove.handout.pack.folder import CREDITS, FORMAT, INDEX, Made
from groove.handout.pack.plan import Piece, Plan, soundfont_digest
from groove.version import __version__

if TYPE_CHECKING:
    from groove.sound.synth.soundfonts import Soundfont

TOLD = {INDEX: "overview with players and links", CREDITS: "credits and licences"}


def manifest(
    plan: Plan, made: Mapping[str, Made], told: Mapping[str, bytes], font: Soundfont
) -> bytes:
    """The manifest as JSON; no dates, so that the same pack has the same one.

    made: the pieces by path. told: the content of the files that tell of the others. The manifest
    itself and the zip are not listed, as neither can hold its own digest.
    """
    form = plan.form
    files = [_piece(piece, made[piece.path]) for piece in plan.pieces]
    files += [_told(name, content) for name, content in told.items()]
    content = {
        "pack": FORMAT,
        "track": plan.stem,
        "title": form.title,
        "program": f"groove {__version__}",
        "form": {
            "key": form.key.symbol,
            "tempo": form.tempo,
            "meter": str(form.meter),
            "bars": form.bars,
            "choruses": form.choruses,
            "feel": form.feel,
            "drums": form.drums,
            "bass": form.bass,
            "comping": form.comping,
            "seed": form.seed,
        },
        "soundfont": {
            "name": font.name,
            "licence": font.licence,
            "sha256": soundfont_digest(font.path),
        },
        "zip": plan.zip_name,
        "files": sorted(files, key=lambda entry: str(entry["path"])),
    }
    return (json.dumps(content, indent=1, ensure_ascii=False) + "\n").encode()


def _piece(piece: Piece, made: Made) -> dict[str, Any]:
    return {
        "path": piece.path,
        "size": made.size,
        "sha256": made.sha256,
        "kind": piece.kind,
        "what": piece.label,
        "key": piece.key,
        "tempo": piece.tempo,
        "made_from": dict(piece.made_from),
        "fingerprint": piece.fingerprint,
    }


def _told(name: str, content: bytes) -> dict[str, Any]:
    return {
        "path": name,
        "size": len(content),
        "sha256": hashlib.sha256(content).hexdigest(),
        "kind": "text",
        "what": TOLD[name],
        "key": None,
        "tempo": None,
        "made_from": {"files": "the others in this list"},
        "fingerprint": "",
    }
