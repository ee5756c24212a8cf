"""The ten styles that are judged, each rendered once as the whole program makes it."""

from __future__ import annotations

from collections.abc import Sequence

from tests.bench.sound.checkout import Checkout

STYLES = (
    "shuffle",
    "eighths-rock",
    "medium-swing",
    "rumba",
    "sixteenth-funk",
    "one-drop",
    "half-time",
    "slow-ballad",
    "waltz",
    "bossa",
)
OPTIONS = {"audio": "wav", "stems": True, "bits": 24}


def render_styles(checkout: Checkout, styles: Sequence[str], choruses: int = 2) -> None:
    """Render what is not there yet: mix and stems of so many choruses."""
    wanted = [s for s in styles if not list((checkout.folder / f"styles/{s}").glob("*.wav"))]
    checkout.rendered(
        [
            {
                "form": {"drums": s, "choruses": choruses},
                "folder": f"styles/{s}",
                "options": OPTIONS,
            }
            for s in wanted
        ]
    )
