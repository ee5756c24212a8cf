"""`groove chart`, `groove sheet` and `groove page`: the handouts of a track."""

from __future__ import annotations

from typing import Any

import click

from groove.commands.options import (
    files_option,
    hand_options,
    lesson_options,
    paper_option,
    reader_option,
    soundfont_option,
    takes_form,
)
from groove.commands.terminal import progress_bar, say, show_paths
from groove.files import try_targets
from groove.form.model import Form
from groove.form.words import say_notes
from groove.handout import CHARTS, SHEETS


@click.command("chart")
@takes_form
@files_option(CHARTS, "write into a .svg, .pdf or .musicxml file")
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
    from groove.handout.chart.files import chart, write_chart_files
    from groove.handout.chart.text import chart_text

    say_notes(form, say)
    try_targets(files)
    written = chart(form, reader)
    if not files:
        click.echo(chart_text(written, numerals=numerals))
    show_paths(write_chart_files(written, files, paper=paper, numerals=numerals, say=say))


@click.command("sheet")
@takes_form
@files_option(SHEETS, "write into a .pdf, .svg (a file a page), .md, .json, .musicxml or .mid file")
@paper_option
@reader_option
@hand_options
@lesson_options
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
    from groove.handout.sheet.files import write_sheet_files
    from groove.handout.sheet.markdown import sheet_markdown
    from groove.handout.sheet.sheet import write_sheet
    from groove.lesson.request import Request

    say_notes(form, say)
    try_targets(files)
    sheet = write_sheet(form, Request(**asked))
    if not files:
        click.echo(sheet_markdown(sheet), nl=False)
    show_paths(write_sheet_files(sheet, files, paper=paper, say=say))


@click.command("page")
@takes_form
@hand_options
@soundfont_option
@click.option("--private", is_flag=True, help="not for posting: any soundfont will do")
@click.option("-o", "--out", required=True, metavar="NAME.html", help="the file to write")
def page_command(
    form: Form,
    soundfont: tuple[str, ...],
    private: bool,
    out: str,
    **asked: Any,
) -> None:
    """Write a practice page of FORM: one HTML file that plays it in any key at any tempo.

    It opens with the instrument, tuning and position given here; others can be chosen in it.

    FORM is a TOML file, the name of a shipped form, or - for standard input.

    \b
    Example:
      groove page twelve-bar --drums rumba -o practice.html
    """
    from groove.handout.practice.make import make_page
    from groove.lesson.request import Request

    with progress_bar("page") as progress:
        path = make_page(
            form,
            out,
            soundfont=soundfont or None,
            private=private,
            request=Request(**asked),
            say=say,
            progress=progress,
        )
    show_paths([path])
