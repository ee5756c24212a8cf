"""Files beside a folder's pages, with which visitors of a site install them and open them offline.

They are a web app manifest (W3C), a service worker, which keeps the pages on the device, and an
icon. From a file none of that is used.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from importlib.resources import files

from groove.handout.web import allowed, filled

APP, WORKER, ICON = "app.webmanifest", "offline.js", "icon.png"
"""The names of the files beside the pages; ``site/link.js`` names the first two as well."""
OVERVIEW = "index.html"
"""The page of the folder that leads to all of its files."""
ICON_PIXELS = 512
PAPER, STRONG = "#eef1f5", "#83264f"
"""Colours of ``web.css`` in its light theme."""


def link_script() -> str:
    """The script that stands in the pages."""
    return _read("link.js").decode()


def site_policy() -> dict[str, str]:
    """The sources that the pages need for it, by the names of their directives."""
    return {
        "script-src": allowed(link_script()),
        "worker-src": "'self'",
        "manifest-src": "'self'",
        "img-src": "'self'",
    }


def site_files(
    title: str, language: str, pages: Mapping[str, str], later: Sequence[str]
) -> dict[str, bytes]:
    """The contents of the files beside the pages, by name.

    pages: digests of the files that are kept at once, by their paths in the folder, the one that
    opens first in front. later: paths of those that are kept when they have been opened.
    """
    app, icon = _app(title, language, next(iter(pages))), _read(ICON)
    first = dict(pages) | {APP: hashlib.sha256(app).hexdigest()}
    first |= {ICON: hashlib.sha256(icon).hexdigest()}
    worker = _read("worker.js").decode()
    version = json.dumps([worker, first, list(later)], ensure_ascii=False)
    places = {
        "version": hashlib.sha256(version.encode()).hexdigest()[:16],
        "first": json.dumps(first, ensure_ascii=False),
        "later": json.dumps(list(later), ensure_ascii=False),
    }
    return {APP: app, WORKER: filled(worker, places).encode(), ICON: icon}


def _app(title: str, language: str, start: str) -> bytes:
    size = f"{ICON_PIXELS}x{ICON_PIXELS}"
    content = {
        "name": title,
        "short_name": title,
        "lang": language,
        "start_url": start,
        "scope": "./",
        "display": "minimal-ui",
        "background_color": PAPER,
        "theme_color": STRONG,
        "icons": [
            {"src": ICON, "sizes": size, "type": "image/png", "purpose": purpose}
            for purpose in ("any", "maskable")
        ],
    }
    return (json.dumps(content, indent=1, ensure_ascii=False) + "\n").encode()


def _read(name: str) -> bytes:
    return (files("groove.handout") / "site" / name).read_bytes()
