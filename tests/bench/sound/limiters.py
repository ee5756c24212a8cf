"""The work of limiters and compressors in every drum pattern."""

from __future__ import annotations

from collections.abc import Sequence

from groove import library
from tests.bench.sound.checkout import Checkout
from tests.bench.sound.table import Figure

MOST = 4.0
CHORUSES, SEEDS = 3, (1, 5)


def figures(
    checkout: Checkout, names: Sequence[str] = (), seeds: Sequence[int] = SEEDS
) -> list[Figure]:
    """The most that limiters lower a part at one moment, the most that those on parts and on the
    mix do, and the compressors, in the worst of some takes; the worst of all last."""
    asked = names or library.names("drums")
    answers = checkout.rendered(
        [
            {
                "form": {"drums": name, "choruses": CHORUSES, "seed": seed},
                "folder": f"limiters/{name}",
            }
            for name in asked
            for seed in seeds
        ]
    )
    found, worst = [], 0.0
    takes = [answers[first : first + len(seeds)] for first in range(0, len(answers), len(seeds))]
    for name, several in zip(asked, takes, strict=True):
        facts = max(several, key=lambda take: take["together"])
        worst = max(worst, facts["together"])
        parts = ", ".join(f"{part} {most:.1f}" for part, most in facts["part_limiters"].items())
        pressed = ", ".join(f"{part} {most:.1f}" for part, most in facts["compressors"].items())
        found.append(Figure(f"{name}, limiters (dB)", facts["together"], high=MOST, form="{:.1f}"))
        print(
            f"  {name}: mix {facts['limiter']:.1f}; {parts}; compressors {pressed}; "
            f"faders {facts['faders']}; short {facts['short']:.1f}",
            flush=True,
        )
    found.append(Figure("the worst (dB)", worst, high=MOST, form="{:.1f}"))
    return found
