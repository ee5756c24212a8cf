"""`groove open`: the screen on which a lesson is made."""

from __future__ import annotations

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
    default=Path(),
    metavar="DIR",
    help="where the lessons lie; here if left out",
)
def open_command(form: str | None, no_browser: bool, port: int, folder: Path) -> None:
    """Open a page in the browser on which a form is written, heard and kept.

    FORM is a TOML file, which is made where it is not there, or the name of a shipped form, of
    which a copy is made; a new form if left out. The page is served to this machine alone. It ends
    by Ctrl-C, or two minutes after its last window has been closed.

    \b
    Example:
      groove open twelve-bar --folder lessons
    """
    try:
        from groove.screen.serve import serve
    except ImportError:
        raise GrooveError(
            "the screen needs more packages; run: pip install 'groove[screen]'"
        ) from None
    from groove.screen.lessons import opened

    chosen = opened(form, folder)
    say(f"{chosen.path}: open on the screen; end with Ctrl-C")

    def ready(address: str) -> None:
        show_result([address])
        if not no_browser:
            webbrowser.open(address)

    serve(chosen, port, ready)
