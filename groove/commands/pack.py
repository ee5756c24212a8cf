"""`groove pack`: all files to post, as a folder and a zip."""

from __future__ import annotations

import sys
from contextlib import AbstractContextManager, nullcontext
from typing import TYPE_CHECKING, Any

import click

import groove
from groove.commands.options import (
    Names,
    hand_options,
    lesson_options,
    paper_option,
    soundfont_option,
    stems_option,
    takes_form,
    without_each_option,
)
from groove.commands.posting import show_option, theme_option
from groove.commands.terminal import progress_bar, say, show_paths
from groove.errors import GrooveError
from groove.form.model import Form
from groove.form.readers import READERS
from groove.handout import SIZES
from groove.sound.options import FORMATS, NONE

if TYPE_CHECKING:
    from concurrent.futures import Executor


@click.command("pack")
@takes_form
@click.option(
    "--keys",
    metavar="KEYS",
    help="all, or some, as in C,F,Bb; all if left out, but the form's own where its key cycle "
    "goes through all by itself",
)
@click.option(
    "--tempos", default="", metavar="BEATS", help="as in 80,100,120; the form's own if left out"
)
@click.option(
    "--audio",
    type=Names(*FORMATS, NONE),
    multiple=True,
    help="mp3 (default), ogg, flac, wav, or none; several with commas between them",
)
@stems_option
@without_each_option
@click.option(
    "--for",
    "readers",
    multiple=True,
    help=f"chart and sheet also for {', '.join(tuple(READERS)[1:])}, alto-sax, ...; "
    "several with commas between them",
)
@hand_options
@lesson_options
@paper_option
@soundfont_option
@click.option(
    "--video",
    type=Names(*SIZES),
    is_flag=False,
    flag_value=SIZES[0],
    metavar="[SIZES]",
    help="also a video for each key and tempo: wide (if no size follows), upright, square; several "
    "with commas between them",
)
@show_option
@theme_option
@click.option("--cover", is_flag=True, help="also covers, wide and square, for each key and tempo")
@click.option("--preview", is_flag=True, help="also half a minute to listen to, in the form's key")
@click.option(
    "--text", is_flag=True, help="also title and description to post, for each key and tempo"
)
@click.option(
    "--cluster",
    metavar="ADDRESS",
    help="make the files on the workers of a dask cluster, by its scheduler's address, as in "
    "tcp://10.0.0.5:8786; every worker must have this version of groove, and see the pack's "
    "folder and the soundfont under the same paths",
)
@click.option("--yes", is_flag=True, help="begin without asking, however much it is")
@click.option(
    "-o",
    "--out",
    metavar="FOLDER",
    help="where to write; a folder named after the title if left out",
)
def pack_command(
    form: Form,
    keys: str | None,
    tempos: str,
    audio: tuple[str, ...],
    stems: bool | None,
    without_each: bool | None,
    readers: tuple[str, ...],
    paper: str,
    soundfont: tuple[str, ...],
    cluster: str | None,
    yes: bool,
    out: str | None,
    **lesson: Any,
) -> None:
    """Make everything to post of FORM: tracks, charts, lesson sheets, practice page, and a zip.

    FORM is a TOML file, the name of a shipped form, or - for standard input. Run it again after
    a change, or when it was broken off: only what is missing is made.

    \b
    Example:
      groove pack twelve-bar --keys C,F --tempos 96 --for Bb,Eb -o lesson-7
    """

    def agree(_estimate: object) -> bool:
        if yes or not sys.stdin.isatty() or not sys.stderr.isatty():
            return yes
        return click.confirm("That is a lot. Begin?", err=True)

    on_cluster: AbstractContextManager[Executor | None] = nullcontext()
    if cluster is not None:
        from groove.handout.pack.cluster import cluster_executor

        on_cluster = cluster_executor(cluster)
    try:
        with on_cluster as executor, progress_bar("pack", lines=True) as progress:
            packed = groove.pack(
                form,
                out,
                keys=keys,
                tempos=tempos,
                audio=audio or "mp3",
                stems=bool(stems),
                without_each=bool(without_each),
                readers=readers,
                paper=paper,
                soundfont=soundfont or None,
                executor=executor,
                say=say,
                progress=progress,
                agree=agree,
                **lesson,
            )
    except (KeyboardInterrupt, MemoryError) as error:
        how = "stopped" if isinstance(error, KeyboardInterrupt) else "out of memory"
        raise GrooveError(
            f"{how}; what is finished stays, and the next run goes on from there"
        ) from None
    show_paths([packed.index, packed.zip])
