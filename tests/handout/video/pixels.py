"""Reads frames of a video file: FFmpeg's own program decodes it, and the mark of the bar that
sounds is found by its colour."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from groove.handout.video import look as look_module
from groove.handout.video.chart_view import ChartView
from groove.handout.video.course import FRAMES_A_SECOND, Course, Moment
from groove.handout.video.frames import LUMA
from groove.handout.video.look import Look, Room

CLOSE = 5  # steps of Y'CbCr by which an encoded colour may be off


def frames_at(path: Path, numbers: Sequence[int], pixels: tuple[int, int]) -> list[np.ndarray]:
    """The planes of some frames of a file, in the order of their numbers: Y, U and V.

    ffmpeg decodes all frames, each once as it stands in the file.
    """
    wide, high = pixels
    asked, found = set(numbers), []
    command = [
        "ffmpeg", "-v", "error", "-i", str(path), "-an", "-fps_mode", "passthrough",
        "-f", "rawvideo", "-pix_fmt", "yuv420p", "-",
    ]  # fmt: skip
    with subprocess.Popen(command, stdout=subprocess.PIPE) as process:
        assert process.stdout
        for number in range(max(asked) + 1):
            frame = process.stdout.read(wide * high * 3 // 2)
            if number in asked:
                found.append(np.frombuffer(frame, np.uint8).reshape(high * 3 // 2, wide))
        while process.stdout.read(1 << 20):
            pass
    assert process.returncode == 0
    return found


def marked_box(planes: np.ndarray, look: Look, room: Room) -> Room | None:
    """The rectangle in a room that has the colour of the mark, in mm; None without one."""
    wide, high = look.pixels
    red, green, blue = (value / 255 for value in look.colours["mark"])
    luma = LUMA[0] * red + LUMA[1] * green + LUMA[2] * blue
    wanted = (
        16 + 219 * luma,
        128 + 224 * (blue - luma) / 1.8556,
        128 + 224 * (red - luma) / 1.5748,
    )
    halves = planes[high:].reshape(2, high // 2, wide // 2)
    found = np.abs(planes[:high].astype(int) - wanted[0]) <= CLOSE
    for plane, colour in zip(halves, wanted[1:], strict=True):
        found &= np.repeat(np.repeat(np.abs(plane.astype(int) - colour) <= CLOSE, 2, 0), 2, 1)
    scale = look_module.PIXELS_A_MM
    left, top = round(room.x * scale), round(room.y * scale)
    found = found[top : top + round(room.high * scale), left : left + round(room.wide * scale)]
    rows, columns = (np.flatnonzero(found.sum(axis=axis) > 2 * scale) for axis in (1, 0))
    if not len(rows) or not len(columns):
        return None
    return Room(
        (left + columns[0]) / scale, (top + rows[0]) / scale,
        (columns[-1] + 1 - columns[0]) / scale, (rows[-1] + 1 - rows[0]) / scale,
    )  # fmt: skip


def wrong_bars(path: Path, course: Course, look: Look, lead_in: int) -> tuple[int, list[str]]:
    """How many bar lines were looked at, and each place where another bar is marked than the road
    says: in the frame before the line, in the one nearest to it, and in the one after.

    lead_in: the seconds before the sound.
    """
    view = ChartView(course, look)
    lines: dict[int, Moment] = {}
    for moment in course.moments:
        lines.setdefault(moment.bar, moment)
    asked: dict[int, list[tuple[int, Moment]]] = {}
    for bar, start in enumerate(course.chart.bars):
        nearest = round((lead_in + course.chart.seconds(start.start)) * FRAMES_A_SECOND)
        before = course.at(lines[bar].seconds - 1e-6)
        for frame, expected in ((-1, before), (0, lines[bar]), (1, lines[bar])):
            asked.setdefault(nearest + frame, []).append((bar, expected))
    wrong = []
    shown = frames_at(path, list(asked), look.pixels)
    for number, planes in zip(sorted(asked), shown, strict=True):
        found = marked_box(planes, look, view.room)
        for bar, moment in asked[number]:
            if not _same(found, view.marked(moment)):
                wrong.append(f"{path.name}: bar {bar}, frame {number}: {found}, {moment}")
    return len(course.chart.bars), wrong


def _same(found: Room | None, expected: Room | None) -> bool:
    """True if a rectangle is the expected one, to 2 mm at its sides."""
    if found is None or expected is None:
        return found is expected
    off = 2.0 + 2.0 / look_module.PIXELS_A_MM
    edges = [
        (box.x, box.x + box.wide, box.y, box.y + box.high) for box in (found, expected)
    ]  # fmt: skip
    return all(abs(a - b) <= off for a, b in zip(*edges, strict=True))
