"""The ten styles that are judged, each rendered once as the whole program makes it."""

from __future__ import annotations

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


def render_styles(checkout: Checkout) -> None:
    """Render what is not there yet: mix and stems of two choruses."""
    wanted = [s for s in STYLES if not list((checkout.folder / f"styles/{s}").glob("*.wav"))]
    checkout.rendered(
        [
            {"form": {"drums": s, "choruses": 2}, "folder": f"styles/{s}", "options": OPTIONS}
            for s in wanted
        ]
    )
