"""`groove open`: the screen on which a lesson is made."""

from __future__ import annotations

import os
import sys
import webbrowser
from pathlib import Path

import click

from groove.commands.options import completing
from groove.commands.terminal import say, show_result
from groove.errors import GrooveError


@click.command("open")
@click.argument("form", required=False, metavar="[FORM]", shell_complete=completing("forms"))
@click.option("--no-browser", is_flag=True, help="only print the address")
@click.option(
    "--port", type=click.IntRange(0, 65_535), default=0, metavar="N", help="0 (default): a free one"
)
@click.option(
    "--folder",
    type=click.Path(file_okay=False, path_type=Path),
    metavar="DIR",
    help="where the lessons lie; where FORM does if left out",
)
@click.option("--launcher", is_flag=True, help="only write a file that opens the lessons' folder")
def open_command(
    form: str | None, no_browser: bool, port: int, folder: Path | None, launcher: bool
) -> None:
    """Open a page in the browser on which a form is written, heard and kept.

    FORM is a TOML file, which is made where it is not there, or the name of a shipped form, of
    which a copy is made; a new form if left out. The page is served to this machine alone. It ends
    by Ctrl-C, or two minutes after its last window has been closed.

    \b
    Example:
      groove open twelve-bar --folder lessons
    """
    if launcher:
        _write_launcher(form, folder or Path())
        return
    try:
        from groove.screen.serve import serve
    except ImportError:
        raise GrooveError(
            "the screen needs more packages; run: pip install 'groove[screen]'"
        ) from None
    from groove.screen.lessons import has_lessons, opened

    shown = "" if form or not has_lessons(folder or Path()) else "#lessons"
    chosen = opened(form, folder)
    say(f"{chosen.path}: open on the screen; end with Ctrl-C")

    def ready(address: str) -> None:
        show_result([address + shown])
        if not no_browser:
            webbrowser.open(address + shown)

    serve(chosen, port, ready)


def _write_launcher(form: str | None, folder: Path) -> None:
    from groove.screen.launcher import write_launcher

    if form:
        raise click.UsageError("--launcher opens a folder; leave FORM out, or name --folder")
    if not folder.is_dir():
        raise GrooveError(f"{folder}: there is no such folder; make it first")
    program = [sys.executable, "-P", "-m", "groove"]
    path, was_there = write_launcher(folder, program, sys.platform, os.environ)
    where = "on the desktop" if path.parent.name == "Desktop" else ""
    where = "in the menu of applications" if path.suffix == ".desktop" else where
    say(f"it is {where or path.parent}, and opens the lessons in {folder.absolute()}")
    if was_there:
        say(f"note: {path} was there before and has been replaced")
    show_result([f"{path}"])
