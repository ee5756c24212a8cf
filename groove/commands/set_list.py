"""`groove set`: the book of charts and the tracks of a set list."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

import click

from groove.commands.make import audio_options, straight_notes_option
from groove.commands.options import field_options, options_layer, paper_option
from groove.commands.terminal import fail, progress_bar, say, show_paths
from groove.errors import FAILED
from groove.form.build import FormError
from groove.form.fields import FIELDS
from groove.form.readers import READERS

if TYPE_CHECKING:
    from groove.sound.options import AudioOptions


@click.command("set")
@click.argument("file", metavar="FILE", type=click.Path(path_type=str))
@field_options
@click.option(
    "--for",
    "readers",
    multiple=True,
    metavar="READERS",
    help=f"a book each for {', '.join(tuple(READERS)[1:])}, alto-sax, drums, ...; several with "
    "commas between them, in place of those of FILE",
)
@audio_options
@straight_notes_option
@paper_option
@click.option("--check", is_flag=True, help="write nothing; list the tunes, or all that is wrong")
@click.option(
    "-o",
    "--out",
    metavar="FOLDER",
    help="where to write; a folder named after the title if left out",
)
def set_command(
    file: str,
    no_turnaround: bool,
    readers: tuple[str, ...],
    soundfont: tuple[str, ...],
    straight_notes: bool,
    paper: str,
    check: bool,
    out: str | None,
    **asked: Any,
) -> None:
    """Write the book of charts and the tracks of a set list: one PDF a reader, MIDI, audio.

    FILE is a TOML file with a title and [[tunes]], each with a form and options of its own. Options
    given here stand above those of every tune.

    \b
    Example:
      groove set friday.toml --for Bb,drums --audio mp3 -o friday
    """
    from groove.handout.set_list.make import make_set
    from groove.handout.set_list.read import read_set

    fields = {name: asked.pop(name) for name in FIELDS if name in asked}
    layer = options_layer(no_turnaround, fields)
    try:
        found = read_set(file, layer, readers or None)
    except FormError as error:
        if check:
            for problem in error.problems[:-1]:
                fail(problem, FAILED)
            raise FormError([error.problems[-1]], error.usage) from None
        raise
    if check:
        import groove

        for number, form in enumerate(found.tunes, 1):
            click.echo(f"{number:2} {groove.summary(form)}")
        return
    sound = {name: value for name, value in asked.items() if value not in (None, ())}
    with progress_bar("set") as progress:
        paths = make_set(
            found,
            out,
            audio=sound.pop("audio", None),
            soundfont=soundfont or None,
            paper=paper,
            straight_notes=straight_notes,
            say=say,
            progress=progress,
            **cast("AudioOptions", sound),
        )
    show_paths(paths)
