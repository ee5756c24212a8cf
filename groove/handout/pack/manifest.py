"""manifest.json: a list of all files of a pack, with their kind and origin."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from groove.handout.pack.archive import is_marked_with
from groove.handout.pack.folder import CREDITS, FORMAT, INDEX, Made
from groove.handout.pack.plan import PackPlan, Piece, soundfont_digest
from groove.handout.served import APP, ICON, WORKER
from groove.version import __version__
from groove.wording import said

if TYPE_CHECKING:
    from groove.sound.synth.soundfonts import Fonts, Soundfont

SEAL = "sha256_of_the_rest"
TEXTS = {INDEX: "overview", CREDITS: "credits", APP: "app", WORKER: "worker", ICON: "icon"}
"""The descriptions of the files that describe the others, by their names in
``patterns/lesson/pack.toml``."""


def manifest(
    plan: PackPlan, made: Mapping[str, Made], contents: Mapping[str, bytes], fonts: Fonts
) -> bytes:
    """The manifest as JSON; no dates, so that the same pack has the same one.

    made: the pieces by path. contents: of TEXTS. The manifest itself and the zip
    are not listed, as neither can hold its own digest; SEAL is that of all the rest.
    """
    form = plan.form
    files = [_piece(piece, made[piece.path]) for piece in plan.pieces]
    files += [_text(name, content) for name, content in contents.items()]
    own = {part: _soundfont(font) for part, font in fonts.own.items()}
    content = {
        "pack": FORMAT,
        "track": plan.stem,
        "title": form.title,
        "program": f"groove {__version__}",
        "form": {
            "key": form.key.symbol,
            "tempo": form.tempo,
            "meter": str(form.meter),
            "bars": sum(line.times * line.bars for line in form.order) or form.bars,
            "choruses": form.choruses,
            "feel": form.feel,
            "drums": form.drums.name,
            "bass": form.bass.name,
            "comping": ", ".join(pattern.name for pattern in form.comping),
            "seed": form.seed,
        },
        "soundfont": _soundfont(fonts.main),
        **({"own_soundfonts": own} if own else {}),
        "zip": plan.zip_name,
        "files": sorted(files, key=lambda entry: str(entry["path"])),
    }
    return _sealed(content)


def is_unedited_manifest(path: Path, zip_path: Path) -> bool:
    """True if the manifest at `path` is as some run made it, by its own seal or by the zip."""
    try:
        text = path.read_bytes()
        content = json.loads(text)
        sealed = {name: value for name, value in content.items() if name != SEAL}
    except (OSError, ValueError, RecursionError, AttributeError):
        return False
    return not path.is_symlink() and (text == _sealed(sealed) or is_marked_with(zip_path, text))


def _sealed(content: Mapping[str, Any]) -> bytes:
    """A manifest's content as JSON, with the digest of it at its end."""
    seal = hashlib.sha256(_json(content)).hexdigest()
    return _json({**content, SEAL: seal})


def _json(content: Mapping[str, Any]) -> bytes:
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


def _soundfont(font: Soundfont) -> dict[str, str]:
    return {
        "name": font.name,
        "licence": font.licence,
        "sha256": soundfont_digest(font.path),
    }


def _text(name: str, content: bytes) -> dict[str, Any]:
    return {
        "path": name,
        "size": len(content),
        "sha256": hashlib.sha256(content).hexdigest(),
        "kind": "text",
        "what": said("pack", f"files.{TEXTS[name]}"),
        "key": None,
        "tempo": None,
        "made_from": {"files": "the others in this list"},
        "fingerprint": "",
    }
