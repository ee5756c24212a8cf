"""`groove chart`, `groove sheet` and `groove page`: what is handed out with a track."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

from groove.commands.options import (
    Player,
    file_names,
    paper_option,
    reader_option,
    soundfont_option,
    takes_form,
)
from groove.commands.terminal import progress_bar, say, show_paths
from groove.form.model import Form

CHARTS = (".svg", ".pdf", ".musicxml")
SHEETS = (".pdf", ".svg", ".md", ".json")
INSTRUMENTS = ("guitar", "bass", "ukulele", "mandolin", "keyboard", "none")
DOTS = ("names", "degrees", "fingers")


@click.command("chart")
@takes_form
@click.option(
    "-o",
    "--out",
    "files",
    multiple=True,
    metavar="FILE",
    callback=file_names(CHARTS),
    help="write into a .svg, .pdf or .musicxml file; can be given several times",
)
@paper_option
@reader_option
@click.option("--numerals", is_flag=True, help="Roman numerals under the chords")
def chart_command(
    form: Form,
    files: tuple[str, ...],
    paper: str,
    reader: str,
    numerals: bool,
) -> None:
    """Write the chord chart of FORM, here in the terminal or into files.

    FORM is a TOML file, the name of a shipped form, or - for standard input.

    \b
    Example:
      groove chart twelve-bar --key G --for Bb -o chart.pdf -o chart.musicxml
    """
    from groove.handout.chart_files import chart, write_chart_files
    from groove.handout.chart_text import chart_text

    for note in form.notes:
        say(f"note: {note}")
    written = chart(form, reader)
    if not files:
        click.echo(chart_text(written, numerals=numerals))
    show_paths(write_chart_files(written, files, paper=paper, numerals=numerals, say=say))


def _sheet_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """What a lesson sheet asks besides the form."""
    instruments = f"{', '.join(INSTRUMENTS)}; guitar if left out, for concert pitch"
    options = (
        click.option(
            "-o", "--out", "files", multiple=True, metavar="FILE", callback=file_names(SHEETS),
            help="write into a .pdf, .svg (a file a page), .md or .json file; "
            "can be given several times",
        ),
        paper_option,
        reader_option,
        click.option(
            "--instrument", type=Player("instrument", INSTRUMENTS),
            metavar="NAME", help=instruments,
        ),
        click.option(
            "--tuning", metavar="STRINGS",
            help='drop-d, bass-5, ... or the open strings, "D2 A2 D3 G3 B3 E4"',
        ),
        click.option("--left-handed", is_flag=True, help="mirror the fretboards"),
        click.option(
            "--position", type=int, metavar="FRET",
            help="where the first finger stays for all chords; the best place if left out",
        ),
        click.option(
            "--dots", type=click.Choice(DOTS, case_sensitive=False), default="degrees",
            metavar="WHAT", help="what stands on the dots: names, degrees (default) or fingers",
        ),
        click.option(
            "--phrase", metavar="NOTES",
            help="a phrase to find all over the neck, in the order played: 3f5 is string 3 "
            "(1 is the highest), fret 5; C4 or Bb3 a note with its octave; "
            'a colon adds beats: "4f7 3f5:1/2 C4:3/2"',
        ),
    )  # fmt: skip
    for option in reversed(options):
        command = option(command)
    return command


@click.command("sheet")
@takes_form
@_sheet_options
def sheet_command(
    form: Form,
    files: tuple[str, ...],
    paper: str,
    **asked: Any,
) -> None:
    """Write the lesson sheet of FORM: its chart, what to play over it and where that lies.

    FORM is a TOML file, the name of a shipped form, or - for standard input. Without -o the
    sheet is printed as text.

    \b
    Example:
      groove sheet twelve-bar --key A -o sheet.pdf --phrase "4f7 3f5 3f7 2f5"
    """
    from groove.handout.sheet import Request, write_sheet
    from groove.handout.sheet_files import write_sheet_files
    from groove.handout.sheet_markdown import sheet_markdown

    for note in form.notes:
        say(f"note: {note}")
    sheet = write_sheet(form, Request(**asked))
    if not files:
        click.echo(sheet_markdown(sheet), nl=False)
    show_paths(write_sheet_files(sheet, files, paper=paper, say=say))


@click.command("page")
@takes_form
@soundfont_option
@click.option("--private", is_flag=True, help="not for posting: any soundfont will do")
@click.option("-o", "--out", required=True, metavar="NAME.html", help="the file to write")
def page_command(
    form: Form,
    soundfont: str | None,
    private: bool,
    out: str,
) -> None:
    """Write a practice page of FORM: one HTML file that plays it in any key at any tempo.

    FORM is a TOML file, the name of a shipped form, or - for standard input.

    \b
    Example:
      groove page twelve-bar --drums rumba -o practice.html
    """
    from groove.handout.practice import make_page

    with progress_bar("page") as progress:
        path = make_page(
            form, out, soundfont=soundfont, private=private, say=say, progress=progress
        )
    show_paths([path])
