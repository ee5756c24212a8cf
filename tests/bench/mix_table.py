"""Print how the band of every drum pattern is mixed.

Run as ``python -m tests.bench.mix_table SOUNDFONT [NAME ...]`` from the checkout. A line for each
pattern with its own bass and comping at the middle of its tempi: loudness of each part against the
mix (LU), side of the comping (dB to the right), correlation of left and right, the most that a part
loses in mono (dB), the comping's share between 300 Hz and 3 kHz (dB), the peak-to-loudness ratio
before the limiter on the mix, and what that at -1.1 dBTP takes of it at -14 LUFS (dB). NAMEs of
patterns, or forms' files, restrict it to those.
"""

from __future__ import annotations

import sys
from pathlib import Path

import groove
from groove import library
from tests.sound.mix.mix_material import PARTS, hear, usual_form

TARGET, CEILING = -14.0, -1.1


def line(name: str, form: groove.Form, soundfont: Path) -> str:
    heard = hear(form, soundfont)
    mix = heard.loudness()
    drums, bass, comping = (heard.loudness(part) - mix for part in PARTS)
    lost = max(heard.lost_in_mono(part) for part in PARTS)
    centre = max(abs(heard.side(part)) for part in ("drums", "bass"))
    ratio = heard.peak_to_loudness
    return (
        f"{name:20} {drums:6.1f} {bass:6.1f} {comping:6.1f} {comping - (drums + bass) / 2:7.1f} "
        f"{heard.side('comping'):6.1f} {centre:6.1f} {heard.correlation:6.2f} {lost:6.2f} "
        f"{heard.midrange_share:7.1f} {ratio:6.1f} {max(0.0, ratio + TARGET - CEILING):6.1f}"
    )


def main() -> None:
    soundfont, *asked = sys.argv[1:]
    print(
        f"{'pattern':20} {'drums':>6} {'bass':>6} {'comp':>6} {'c-(d+b)':>7} {'side':>6} "
        f"{'d,b':>6} {'corr':>6} {'mono':>6} {'300-3k':>7} {'PLR':>6} {'limit':>6}"
    )
    for name in asked or library.names("drums"):
        form = groove.read_form(name) if name.endswith(".toml") else usual_form(name)
        print(line(Path(name).stem, form, Path(soundfont)), flush=True)


if __name__ == "__main__":
    main()
