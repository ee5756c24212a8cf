"""The take as a picture, a piano roll: drums, percussion, bass, comping and chords over time."""

from __future__ import annotations

from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any

from groove.band.take import PlayedNote, Take
from groove.errors import GrooveError
from groove.form.chart import Bar
from groove.form.harmony import key_in_words
from groove.rhythm.kit import KIT

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

LONGEST_ROW = 16  # bars
MOST_BARS = 240  # drawn of a longer track; more makes a picture that few programs open
ROW_INCHES, WIDTH_INCHES, DRUM_SHARE = 4.2, 16.0, 0.42
NAMES = {voice.note: name for name, voice in KIT.items()}
STRUCK = {"drums": "black", "percussion": "#2f7d4f"}
LOOKS = {  # colour, thickness in points
    "bass": ("#12344d", 4), "comping": ("#c4762b", 2.5), "guitar": ("#c4762b", 2.5),
    "keys": ("#8a5a9c", 2.5), "riff": ("#b3303c", 3), "melody": ("#2f7d7a", 3),
    "solo": ("#c2187a", 3),
}  # fmt: skip


def draw_roll(take: Take, path: Path) -> None:
    """Draw a take into a ``.png`` or ``.svg`` file, as roll_figure does.

    Raises GrooveError where matplotlib is missing, and OSError where the file can't be written.
    """
    try:
        import matplotlib as mpl
    except ImportError:
        raise GrooveError("a plot needs matplotlib; run: pip install 'groove[plot]'") from None
    with mpl.rc_context({"svg.hashsalt": "groove", "font.size": 9}):
        metadata = {"Date": None} if path.suffix.lower() == ".svg" else {"Software": None}
        roll_figure(take).savefig(path, format=path.suffix[1:].lower(), dpi=80, metadata=metadata)


def roll_figure(take: Take) -> Figure:
    """A take as a matplotlib figure, whole choruses or 16 bars to a row.

    For each row drums and percussion, then bass and comping; the unit of time is a bar.
    """
    from matplotlib.figure import Figure

    form = take.chart.form
    bars = list(take.chart.bars[:MOST_BARS])
    a_row = max(1, LONGEST_ROW // form.bars)  # short choruses share one
    size = a_row * min(form.bars, LONGEST_ROW)
    groups = (list(group) for _, group in groupby(bars, key=lambda bar: bar.round // a_row))
    rows = [row for group in groups for row in _split(group, size)]
    figure = Figure(figsize=(WIDTH_INCHES, ROW_INCHES * len(rows) + 0.6), layout="constrained")
    axes = figure.subplots(
        2 * len(rows), 1, squeeze=False, height_ratios=[DRUM_SHARE, 1 - DRUM_SHARE] * len(rows)
    )
    whole = "" if len(bars) == len(take.chart.bars) else f", the first {len(bars)} bars"
    figure.suptitle(f"{form.title}, {key_in_words(form)}, {form.tempo:g} beats a minute{whole}")
    for number, row in enumerate(rows):
        _draw_row(take, row, size, axes[2 * number][0], axes[2 * number + 1][0])
    return figure


def _split(bars: list[Bar], size: int) -> list[list[Bar]]:
    """The bars in rows; an ending of one bar stays on the last one."""
    rows = [bars[at : at + size] for at in range(0, len(bars), size)]
    if len(rows) > 1 and len(rows[-1]) == 1 and not rows[-1][0].number:
        rows[-2:] = [rows[-2] + rows[-1]]
    return rows


def _draw_row(take: Take, row: list[Bar], size: int, drums: Axes, pitched: Axes) -> None:
    start, end = row[0].start, row[-1].end
    width = row[0].length
    early = width // 32  # a note belongs to the bar it was meant for, though it came early
    for part in take.parts:
        notes = [note for note in part.notes if start <= note.start + early < end]
        if part.name in STRUCK:
            _draw_drums(notes, take, width, STRUCK[part.name], drums)
        else:
            colour, points = LOOKS[part.name]
            pitched.hlines(
                [note.pitch for note in notes],
                [note.start / width for note in notes],
                [(note.start + note.length) / width for note in notes],
                color=colour,
                linewidth=points,
            )
            for note in notes:
                _draw_bend(note, width, colour, pitched)
    for slot in (slot for bar in row for slot in bar.slots):
        pitched.annotate(
            "N.C." if slot.silent else str(slot.chord),
            (slot.start / width, 1),
            xycoords=("data", "axes fraction"),
            va="bottom",
            fontsize=6 if slot.length < width else 9,
        )
    low, high = _compass(take)
    pitched.set_ylim(low - 2, high + 2)
    octaves = [pitch for pitch in range(low, high + 1) if pitch % 12 == 0]
    pitched.set_yticks(octaves, [f"C{pitch // 12 - 1}" for pitch in octaves])
    pitched.set_ylabel("bass (dark), comping (light)")
    meter = take.chart.form.meter
    beats = [start / meter.bar_ticks for start in meter.beat_starts]
    first = start / width
    for axes in (drums, pitched):
        axes.set_xlim(first, first + size + 1)
        axes.set_xticks([bar.start / width for bar in row], [_label(bar) for bar in row])
        axes.tick_params(axis="x", length=0)
        lines = [first + bar + beat for bar in range(len(row)) for beat in beats]
        lines.append(first + len(row))
        weights = [0.2 if line % 1 else 0.9 for line in lines]
        upright = axes.get_xaxis_transform()
        axes.vlines(lines, 0, 1, transform=upright, lw=weights, color="0.5", zorder=0)
        axes.spines[["top", "right"]].set_visible(False)
    drums.set_xticklabels([])


def _draw_bend(note: PlayedNote, width: int, colour: str, axes: Axes) -> None:
    """Draws the bend of a string as a thin line from the middle of its note."""
    if note.gesture.bend:
        middle, end = (note.start + note.length * part for part in (0.5, 1.0))
        top = note.pitch + note.gesture.bend
        last = note.pitch if note.gesture.release else top
        places = [note.start / width, middle / width, end / width]
        axes.plot(places, [note.pitch, top, last], color=colour, linewidth=1)


def _draw_drums(notes: list[PlayedNote], take: Take, width: int, colour: str, axes: Any) -> None:
    used = sorted({n.pitch for part in take.parts if part.name in STRUCK for n in part.notes})
    place = {pitch: row for row, pitch in enumerate(used)}
    axes.scatter(
        [note.start / width for note in notes],
        [place[note.pitch] for note in notes],
        s=[(note.velocity / 127) ** 2 * 60 for note in notes],
        color=colour,
        linewidths=0,
    )
    axes.set_ylim(-0.7, len(used) - 0.3)
    axes.set_yticks(range(len(used)), [NAMES[pitch] for pitch in used])


def _compass(take: Take) -> tuple[int, int]:
    """The lowest and the highest pitch of bass and comping."""
    pitches = [n.pitch for part in take.parts if part.name in LOOKS for n in part.notes]
    return min(pitches), max(pitches)


def _label(bar: Bar) -> str:
    if not bar.number:
        return "ending"
    return f"{bar.section} {bar.number}".strip()
