"""`groove video`, `cover`, `preview` and `text`: what goes with the audio where people watch."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, cast

import click

from groove.commands.make import players_options
from groove.commands.options import (
    Player,
    files_option,
    hand_options,
    soundfont_option,
    takes_form,
    together,
)
from groove.commands.terminal import progress_bar, say, show_paths
from groove.files import try_targets
from groove.form.model import Form
from groove.form.words import say_notes
from groove.handout import NO_SHOW, SHOWS, SIZES, TEXTS, THEMES
from groove.lesson.request import INSTRUMENTS

if TYPE_CHECKING:
    from groove.sound.options import AudioOptions

theme_option = click.option(
    "--theme",
    type=click.Choice(THEMES, case_sensitive=False),
    default=THEMES[0],
    help="light (default) or dark",
)
show_option = click.option(
    "--show",
    type=click.Choice(SHOWS, case_sensitive=False),
    default=NO_SHOW,
    help="beside the video's chart: a neck or keyboard with what to play, or the solo's tab",
)


def _size_option(wide: str) -> Callable[..., Any]:
    """The option ``--size``; wide: the pixels of that size."""
    return click.option(
        "--size",
        type=click.Choice(SIZES, case_sensitive=False),
        default=SIZES[0],
        help=f"wide ({wide}, default), upright (1080 x 1920) or square (1080 x 1080)",
    )


@click.command("video")
@takes_form
@_size_option("1920 x 1080")
@theme_option
@show_option
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


@click.command("cover")
@takes_form
@_size_option("1280 x 720")
@theme_option
@click.option("-o", "--out", required=True, metavar="FILE.png", help="the file to write")
def cover_command(form: Form, size: str, theme: str, out: str) -> None:
    """Write a cover of FORM: a picture with its title, key, tempo and the chart's first lines.

    FORM is a TOML file, the name of a shipped form, or - for standard input.

    \b
    Example:
      groove cover twelve-bar --key G --size square -o cover.png
    """
    from groove.handout.posting.cover import make_cover

    say_notes(form, say)
    show_paths([make_cover(form, out, size=size, theme=theme, say=say)])


@click.command("preview")
@takes_form
@click.option(
    "--seconds", type=float, metavar="SECONDS", help="how long it is, 5 to 120; 30 if left out"
)
@together(*players_options)
@soundfont_option
@click.option("-o", "--out", required=True, metavar="FILE.mp3", help="the file to write")
def preview_command(
    form: Form,
    seconds: float | None,
    soundfont: tuple[str, ...],
    out: str,
    **sound: Any,
) -> None:
    """Write a preview of FORM: half a minute of its track, from the most telling place.

    It begins where something begins in the music, and fades out. groove says which place it took,
    and why.

    FORM is a TOML file, the name of a shipped form, or - for standard input.

    \b
    Example:
      groove preview twelve-bar --key G -o preview.mp3
    """
    from groove.handout.posting.preview import make_preview

    asked = {name: value for name, value in sound.items() if value not in (None, ())}
    with progress_bar("preview") as progress:
        preview = make_preview(
            form,
            out,
            seconds=seconds,
            soundfont=soundfont or None,
            say=say,
            progress=progress,
            **cast("AudioOptions", asked),
        )
    show_paths([preview.path])


@click.command("text")
@takes_form
@files_option(TEXTS, "write into a .txt or .md file")
@click.option(
    "--instrument",
    type=Player("instrument", INSTRUMENTS),
    metavar="NAME",
    help=f"that the plan is for: {', '.join(INSTRUMENTS)}; guitar if left out",
)
@together(*players_options[:2])
@click.option(
    "--video", is_flag=True, help="chapters as they come in the video, after its title card"
)
@soundfont_option
def text_command(
    form: Form,
    files: tuple[str, ...],
    instrument: str | None,
    without: tuple[str, ...],
    only: tuple[str, ...],
    video: bool,
    soundfont: tuple[str, ...],
) -> None:
    """Write the text to post with the track of FORM, here in the terminal or into files.

    A title line, a short and a long description with chords, practice plan, chapters, credits, and
    tags: in plain text, or in Markdown.

    FORM is a TOML file, the name of a shipped form, or - for standard input.

    \b
    Example:
      groove text twelve-bar --key G --video -o video.txt
    """
    from groove.handout.posting.text import posting_text, title_card_seconds, write_text_files
    from groove.lesson.request import Request

    say_notes(form, say)
    try_targets(files)
    text = posting_text(
        form,
        request=Request(instrument=instrument),
        soundfont=soundfont or None,
        without=without,
        only=only,
        lead_in=title_card_seconds() if video else 0.0,
        say=say,
    )
    if not files:
        click.echo(text.plain(), nl=False)
    show_paths(write_text_files(text, files, say))
