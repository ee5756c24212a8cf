"""The words of the package's soundfont about its sources: texts in the file, and one beside it."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from tests.bench.soundfont import recorded

HERE = Path(__file__).parent
WIDTH = 96


def info(recipe: Mapping[str, Any]) -> dict[str, str]:
    """The INFO chunks of the font and their texts: its name, licences and credits."""
    sets = _sets(recipe)
    names = list(dict.fromkeys(["MIT", *(_short(one["licence"]) for one in sets)]))
    kept = [recipe["fluid"]["credit"], *(one["credit"] for one in sets)]
    return {
        "isng": "EMU8000",
        "INAM": recipe["name"],
        "ICOP": f"{', '.join(names)}: free to use in what you make and post, keep the credits",
        "ICMT": "; ".join(dict.fromkeys(kept)),
    }


def licence_text(recipe: Mapping[str, Any]) -> str:
    """The text beside the font: sources, credits, what was changed, and the licences."""
    fluid = recipe["fluid"]
    parts = [_lines(recipe["about"]), fluid["name"].upper(), _lines(f"{fluid['credit']}.")]
    parts += [_lines(fluid["about"]), fluid["text"].strip()]
    for one in _sets(recipe):
        parts += [
            one["name"].upper(),
            _lines(f"{one['credit']}. Licence: {one['licence']}"),
            _lines("From " + ", ".join(sorted(one["packages"])) + "."),
        ]
        if "licence_text" in one:
            parts.append(one["licence_text"].strip())
    return "\n\n".join(parts) + "\n"


def _sets(recipe: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The recorded sets' own recipes, with the names that the font's recipe gives them."""
    return [
        recorded.load(HERE / one["recipe"]) | {"name": one["name"]} for one in recipe["recorded"]
    ]


def _short(licence: str) -> str:
    return licence.split(",")[0].strip()


def _lines(text: str) -> str:
    paragraphs = text.strip().split("\n\n")
    return "\n\n".join(textwrap.fill(p, WIDTH, break_on_hyphens=False) for p in paragraphs)
