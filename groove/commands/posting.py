"""`groove video`: what goes with the audio where people watch."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

import click

from groove.commands.make import players_options
from groove.commands.options import hand_options, soundfont_option, takes_form, together
from groove.commands.terminal import progress_bar, say, show_paths
from groove.form.model import Form

if TYPE_CHECKING:
    from groove.sound.options import AudioOptions

theme_option = click.option(
    "--theme",
    type=click.Choice(["light", "dark"], case_sensitive=False),
    default="light",
    help="light (default) or dark",
)


@click.command("video")
@takes_form
@click.option(
    "--size",
    type=click.Choice(["wide", "upright", "square"], case_sensitive=False),
    default="wide",
    help="wide (1920 x 1080, default), upright (1080 x 1920) or square (1080 x 1080)",
)
@theme_option
@click.option(
    "--show",
    type=click.Choice(["none", "neck", "keyboard", "tab"], case_sensitive=False),
    default="none",
    help="beside the chart: a neck or keyboard with what to play, or the solo's tab",
)
@hand_options
@together(*players_options)
@soundfont_option
@click.option("-o", "--out", required=True, metavar="FILE", help="the .mp4 or .webm file to write")
def video_command(
    form: Form,
    size: str,
    theme: str,
    show: str,
    instrument: str | None,
    tuning: str | None,
    left_handed: bool,
    position: int | None,
    soundfont: tuple[str, ...],
    out: str,
    **sound: Any,
) -> None:
    """Write a video of FORM: its track, with the chart on which the bar that sounds is marked.

    FORM is a TOML file, the name of a shipped form, or - for standard input.

    \b
    Example:
      groove video twelve-bar --size upright --show neck -o twelve-bar.mp4
    """
    from groove.handout.video.make import make_video
    from groove.lesson.request import Request

    asked = {name: value for name, value in sound.items() if value not in (None, ())}
    with progress_bar("video") as progress:
        path = make_video(
            form,
            out,
            size=size,
            theme=theme,
            show=show,
            request=Request(
                instrument=instrument, tuning=tuning, left_handed=left_handed, position=position
            ),
            soundfont=soundfont or None,
            say=say,
            progress=progress,
            **cast("AudioOptions", asked),
        )
    show_paths([path])
