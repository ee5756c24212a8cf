"""Loudness and true peak by other meters, stems that sum, and the click beside the drums."""

from __future__ import annotations

import math
import re
import subprocess
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pyloudnorm

from tests.bench.sound.checkout import Checkout, read
from tests.bench.sound.measures import RATE, Sound
from tests.bench.sound.styles import STYLES, render_styles
from tests.bench.sound.table import Figure

LOUD, QUIET = -10.0, -26.0


def ebur128(path: Path) -> tuple[float, float]:
    """Integrated loudness (LUFS) and true peak (dBTP) of a file by ffmpeg's meter (EBU R 128)."""
    said = subprocess.run(
        ["ffmpeg", "-nostats", "-i", str(path), "-af", "ebur128=peak=true", "-f", "null", "-"],
        capture_output=True,
        text=True,
        check=True,
    ).stderr
    summary = said[said.rindex("Summary:") :]
    (loudness,) = re.findall(r"I:\s+(-?[\d.]+|-inf) LUFS", summary)
    (peak,) = re.findall(r"Peak:\s+(-?[\d.]+|-inf) dBFS", summary)
    return float(loudness), float(peak)


def figures(checkout: Checkout, styles: Sequence[str] = STYLES, choruses: int = 2) -> list[Figure]:
    """The figures of each style."""
    render_styles(checkout, styles, choruses)
    options = {"audio": "wav", "bits": 24}
    requests = []
    for style in styles:
        form = {"drums": style, "choruses": 1}
        requests += [
            {"form": form, "folder": f"loud/{style}", "options": options | {"loudness": LOUD}},
            {
                "form": form,
                "folder": f"sum/{style}",
                "options": options | {"loudness": QUIET, "stems": True},
            },
        ]
    checkout.rendered(requests)
    meter = pyloudnorm.Meter(RATE)
    found: list[Figure] = []
    for style in styles:
        path = checkout.mix(f"styles/{style}")
        theirs, peak = ebur128(path)
        _, loud_peak = ebur128(checkout.mix(f"loud/{style}"))
        stems = checkout.stems(f"styles/{style}")
        found += [
            Figure(
                f"{style}, pyloudnorm (LUFS)",
                float(meter.integrated_loudness(read(path))),
                -14.5,
                -13.5,
                "{:.1f}",
            ),
            Figure(f"{style}, ffmpeg (LUFS)", theirs, -14.5, -13.5, "{:.1f}"),
            Figure(f"{style}, true peak at -14 (dBTP)", peak, high=-1.0, form="{:.1f}"),
            Figure(f"{style}, true peak at -10 (dBTP)", loud_peak, high=-1.0, form="{:.1f}"),
            Figure(f"{style}, stems' sum beside the mix (dB)", _off(checkout, style), high=-80.0),
        ]
        if "click" in stems:
            click = _sounding(stems["click"]) - _sounding(stems["drums"])
            found.append(Figure(f"{style}, click beside drums (LU)", click, form="{:.1f}"))
    return found


def _off(checkout: Checkout, style: str) -> float:
    """The highest difference of the stems' sum and the mix, in dB of full scale."""
    mix = read(checkout.mix(f"sum/{style}"))
    total: Sound = np.sum(list(checkout.stems(f"sum/{style}").values()), axis=0)
    return 20 * math.log10(float(np.abs(mix - total).max()) + 1e-12)


def _sounding(sound: Sound) -> float:
    return float(pyloudnorm.Meter(RATE).integrated_loudness(sound))
