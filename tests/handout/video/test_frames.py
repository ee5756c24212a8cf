"""Frames put together from views. Source of colours: FFmpeg's own conversion to the Y'CbCr of
ITU-R BT.709 and back."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field, replace

import av
import numpy as np
import pytest
from av.video.reformatter import ColorRange, Colorspace, Interpolation

from groove.handout.drawing.page import Line, Mark, Rect
from groove.handout.drawing.raster import coverage
from groove.handout.video import frames as module
from groove.handout.video.course import Moment
from groove.handout.video.frames import Frames
from groove.handout.video.look import Look, Room, look_of
from groove.handout.video.view import Fill, Scene

COLOURS = {
    "paper": (255, 255, 255),
    "ink": (0, 0, 0),
    "mark": (242, 217, 160),
    "beat": (201, 134, 10),
    "loud": (255, 0, 255),
}


def look(wide: float = 20, high: float = 10, **colours: tuple[int, int, int]) -> Look:
    """A frame of so many mm, six pixels each."""
    return replace(look_of("wide", "light"), width=wide, height=high, colours=COLOURS | colours)


def moment(beat: int, bar: int = 0) -> Moment:
    return Moment(float(bar * 4 + beat), bar, beat, 0)


@dataclass
class Bars:
    """A view of one black bar whose place is the moment's bar, and a fill at its beat.

    asked: each drawing whose marks were asked for.
    """

    room: Room
    asked: list[Hashable] = field(default_factory=list)

    def scene(self, moment: Moment) -> Scene:
        fill = Fill(self.room.x + moment.beat, self.room.y, 1, self.room.high, "mark")
        return Scene(moment.bar, (fill,))

    def marks(self, drawing: Hashable) -> Sequence[Mark]:
        self.asked.append(drawing)
        assert isinstance(drawing, int)
        x, y = self.room.x + drawing, self.room.y
        return [Rect(x, y, 1, self.room.high, fill=1.0, width=0)]


@dataclass
class Filled:
    """A view of a room that one colour fills, with marks over it."""

    room: Room
    colour: str
    drawn: tuple[Mark, ...] = ()

    def scene(self, moment: Moment) -> Scene:
        room = self.room
        return Scene("", (Fill(room.x, room.y, room.wide, room.high, self.colour),))

    def marks(self, drawing: Hashable) -> Sequence[Mark]:
        return self.drawn


def by_ffmpeg(rgb: np.ndarray) -> np.ndarray:
    """The planes of a picture, as FFmpeg converts it; four pixels share their mean colour."""
    return (
        av.VideoFrame.from_ndarray(np.ascontiguousarray(rgb, np.uint8), format="rgb24")
        .reformat(
            format="yuv420p",
            dst_colorspace=Colorspace.ITU709,
            dst_color_range=ColorRange.MPEG,
            interpolation=(
                Interpolation.AREA | Interpolation.ACCURATE_RND | Interpolation.FULL_CHR_H_INP
            ),
        )
        .to_ndarray()
    )


def test_what_does_not_change_is_not_drawn_again() -> None:
    bars = Bars(Room(0, 0, 10, 10))
    frames = Frames(look(), [bars])
    shown = [moment(0), moment(0), moment(1), moment(1), moment(0, 1), moment(0, 0), moment(0, 0)]
    assert [frames.draw(each) for each in shown] == [True, False, True, False, True, True, False]
    assert bars.asked == [0, 1]


def test_a_frame_is_the_same_whatever_was_drawn_before_it() -> None:
    def views() -> list[Bars]:
        return [Bars(Room(0, 0, 9, 5)), Bars(Room(9, 3, 11, 7))]

    frames = Frames(look(), views())
    for place in ((0, 0), (3, 2), (1, 0), (0, 5), (3, 2)):
        at = moment(*place)
        frames.draw(at)
        anew = Frames(look(), views())
        anew.draw(at)
        assert np.array_equal(frames.planes, anew.planes)


def test_only_the_room_of_a_view_that_changes_is_touched() -> None:
    frames = Frames(look(), [Bars(Room(10, 0, 10, 10))])
    frames.draw(moment(0))
    frames.planes[:60, :60] = 77  # left of its room
    frames.draw(moment(2, 1))
    assert (frames.planes[:60, :60] == 77).all()
    assert frames.planes[30, 6 * 11 + 3] == 16  # black, in the limited range


@pytest.mark.parametrize("colour", COLOURS)
def test_colours_are_those_of_ffmpeg(colour: str) -> None:
    frames = Frames(look(), [Filled(Room(0, 0, 20, 10), colour)])
    frames.draw(moment(0))
    picture = np.full((60, 120, 3), COLOURS[colour])
    assert np.array_equal(frames.planes, by_ffmpeg(picture))
    assert np.abs(frames.rgb().astype(int) - COLOURS[colour]).max() <= 2  # to a step of Y'CbCr


@pytest.mark.parametrize("colour", ["paper", "mark", "beat"])
@pytest.mark.parametrize("ink", [(0, 0, 0), (244, 241, 234)])
def test_ink_over_a_fill_is_the_mix_that_ffmpeg_makes_of_both(
    colour: str, ink: tuple[int, int, int]
) -> None:
    marks = tuple(Line(1 + n, 1, 3 + n, 9, width=0.4, ink=0.3 + 0.1 * n) for n in range(7))
    frames = Frames(look(ink=ink), [Filled(Room(0, 0, 20, 10), colour, marks)])
    frames.draw(moment(0))
    share = coverage(marks, 20, 10, (120, 60))[:, :, np.newaxis] / 255
    assert 0 < share.mean() < 0.5
    under, over = np.array(COLOURS[colour]), np.array(ink)
    reference = by_ffmpeg(np.rint(under + (over - under) * share))
    assert np.abs(frames.planes.astype(int) - reference).max() <= 2
    assert np.abs(frames.planes.astype(int) - reference).mean() < 0.1


def test_grey_ink_is_between_paper_and_ink_over_each_fill() -> None:
    grey = Rect(0, 0, 20, 10, fill=0.5, width=0)
    for colour in ("paper", "mark"):
        frames = Frames(look(ink=(40, 40, 60)), [Filled(Room(0, 0, 20, 10), colour, (grey,))])
        frames.draw(moment(0))
        middle = [(a + b) / 2 for a, b in zip(COLOURS[colour], (40, 40, 60), strict=True)]
        assert np.abs(frames.rgb()[30, 60].astype(int) - middle).max() <= 3


@pytest.mark.parametrize(
    "room",
    [Room(0.13, 0.21, 7.77, 3.33), Room(3.01, 5.49, 0.5, 0.3), Room(12.34, 1.05, 7.66, 8.95)],
)
def test_rooms_off_the_grid_of_pixels_are_filled_to_within_a_pixel(room: Room) -> None:
    frames = Frames(look(), [Filled(room, "loud")])
    frames.draw(moment(0))
    found = np.argwhere((frames.rgb().astype(int) - COLOURS["paper"]).any(axis=2))
    edges = [*found.min(axis=0), *(found.max(axis=0) + 1)]
    asked = [room.y, room.x, room.y + room.high, room.x + room.wide]
    assert edges == pytest.approx([6 * edge for edge in asked], abs=1.0001)


def test_fills_that_reach_out_of_their_room_end_with_it() -> None:
    @dataclass
    class Wide(Filled):
        def scene(self, moment: Moment) -> Scene:
            return Scene("", (Fill(-5, -5, 100, 100, "loud"), Fill(50, 2, 3, 3, "beat")))

    frames = Frames(look(), [Wide(Room(5, 2, 5, 5), "")])
    frames.draw(moment(0))
    loud = np.abs(frames.rgb().astype(int) - COLOURS["loud"]).max(axis=2) <= 2
    assert loud[12:42, 30:60].all()
    assert loud.sum() == 30 * 30


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_paper_is_the_same_within_rooms_and_outside(theme: str) -> None:
    frames = Frames(look(**look_of("wide", theme).colours), [Filled(Room(5, 2, 5, 5), "paper")])
    frames.draw(moment(0))
    assert {int(np.ptp(frames.planes[:60])), int(np.ptp(frames.planes[60:75]))} == {0}


def test_later_fills_lie_over_earlier_ones() -> None:
    @dataclass
    class Two(Filled):
        def scene(self, moment: Moment) -> Scene:
            return Scene("", (Fill(0, 0, 20, 10, "loud"), Fill(5, 0, 5, 10, "beat")))

    frames = Frames(look(), [Two(Room(0, 0, 20, 10), "")])
    frames.draw(moment(0))
    assert np.abs(frames.rgb()[30, 45].astype(int) - COLOURS["beat"]).max() <= 2


def test_drawings_that_come_back_are_kept_up_to_a_size(monkeypatch: pytest.MonkeyPatch) -> None:
    one = 60 * 60 * 5 // 4  # bytes of a room of 10 x 10 mm
    monkeypatch.setattr(module, "KEPT", 3 * one)
    bars = Bars(Room(0, 0, 10, 10))
    frames = Frames(look(), [bars])
    for bar in (0, 1, 2, 0, 1, 2):
        frames.draw(moment(0, bar))
    assert bars.asked == [0, 1, 2]
    for bar in (3, 0, 1, 2):  # the one not seen for longest goes first
        frames.draw(moment(0, bar))
    assert bars.asked == [0, 1, 2, 3, 0, 1, 2]
    kept = sum(ink.nbytes + soft.nbytes for ink, soft in frames._drawn.values())
    assert kept == 3 * one


def test_a_drawing_larger_than_all_that_is_kept_is_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "KEPT", 10)
    frames = Frames(look(), [Bars(Room(0, 0, 10, 10))])
    assert frames.draw(moment(0))
    assert frames.draw(moment(0, 1))
