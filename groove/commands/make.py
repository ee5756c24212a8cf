"""`groove make`: the track."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, cast

import click

import groove
from groove.band.part import PARTS
from groove.band.plan.planner import planned
from groove.band.plan.printed import plan_lines
from groove.commands.options import (
    Names,
    soundfont_option,
    stems_option,
    takes_form,
    together,
    without_each_option,
)
from groove.commands.terminal import progress_bar, say, show_paths, show_result
from groove.form.model import Form
from groove.form.unroll import unroll
from groove.sound.options import BITS, FORMATS, NONE, TARGET, AudioOptions
from groove.track import PLOTS

if TYPE_CHECKING:
    from groove.sound.report import Report


def _picture_name(_ctx: click.Context, _param: click.Parameter, name: str | None) -> str | None:
    if name is not None and not name.lower().endswith(PLOTS):
        raise click.UsageError(f"--plot: found {name!r}; it must end in .png or .svg")
    return name


players_options = (
    click.option(
        "--without",
        type=Names(*PARTS),
        multiple=True,
        help="leave out drums, bass, comping (or guitar, keys), percussion, riff, melody, click",
    ),
    click.option("--only", type=Names(*PARTS), multiple=True, help="these players alone"),
    click.option(
        "--loudness", type=float, metavar="LUFS", help=f"of the whole band, {TARGET:g} if left out"
    ),
)
"""The options that choose among the players, and the loudness; a video has them too."""

audio_options = together(
    click.option(
        "--audio",
        type=Names(*FORMATS, NONE),
        multiple=True,
        help="wav, flac, mp3, ogg, or none (default); several with commas between them",
    ),
    click.option("--bits", type=click.Choice(BITS), help="of wav and flac: 16 (default) or 24"),
    stems_option,
    without_each_option,
    *players_options,
    click.option(
        "--apart",
        is_flag=True,
        default=None,
        help="drums and bass left, the others right; the balance control then turns players off",
    ),
    soundfont_option,
)


straight_notes_option = click.option(
    "--straight-notes",
    is_flag=True,
    help="the MIDI file without swing and touch, for notation programs",
)


@click.command("make")
@takes_form
@audio_options
@click.option("--report", is_flag=True, help="say how loud and how long the audio is, and more")
@click.option(
    "--json", "as_json", is_flag=True, help="the report and the paths as JSON on standard output"
)
@click.option(
    "--plot",
    metavar="FILE",
    callback=_picture_name,
    help="draw what was played into a .png or .svg file",
)
@click.option(
    "--plan",
    is_flag=True,
    help="say where the band fills, pushes, rises and falls, phrase by phrase",
)
@straight_notes_option
@click.option("-o", "--out", default=".", metavar="FOLDER", help="where to write; here if left out")
def make_command(
    form: Form,
    audio: tuple[str, ...],
    soundfont: tuple[str, ...],
    report: bool,
    as_json: bool,
    plot: str | None,
    plan: bool,
    straight_notes: bool,
    out: str,
    **sound: Any,
) -> None:
    """Write the MIDI file of FORM and, if asked, its audio.

    FORM is a TOML file, the name of a shipped form, or - for standard input.

    \b
    Example:
      groove make twelve-bar --key Bb --tempo 96 --turnaround --audio wav --stems -o out
    """
    if plan:
        for line in plan_lines(planned(unroll(form))):
            say(line)
    asked = {name: value for name, value in sound.items() if value not in (None, ())}
    reports: list[Report] = []
    with progress_bar("audio") as progress:
        paths = groove.make(
            form,
            out,
            audio=audio or None,
            soundfont=soundfont or None,
            plot=plot,
            straight_notes=straight_notes,
            say=say,
            progress=progress,
            report=reports.append if report or as_json else None,
            **cast("AudioOptions", asked),
        )
    for facts in reports if report else ():
        for line in facts.lines():
            say(line)
    if as_json:
        content = {"files": [str(path) for path in paths]} | reports[0].facts()
        show_result([json.dumps(content)])
        return
    show_paths(paths)
