"""The command line: loads the command called; turns every error into one line and an exit code."""

from __future__ import annotations

import gc
import io
import os
import sys
import traceback
from importlib import import_module
from pathlib import Path
from typing import NoReturn

import click

from groove.commands.terminal import drop, fail, show_message
from groove.errors import BAD_USAGE, FAILED, GrooveError, OptionError, StopError
from groove.version import __version__

COMMANDS = {
    "chart": ("groove.commands.handouts", "Write the chord chart of FORM, to read or to print."),
    "check": ("groove.commands.look_up", "Say what is wrong with FORM, and what would be right."),
    "cover": ("groove.commands.posting", "Write a picture of FORM: title, key, tempo and chart."),
    "forms": ("groove.commands.look_up", "List the shipped forms, or print one."),
    "help": ("groove.commands.help", "Explain a TOPIC in full; without one, list the topics."),
    "make": ("groove.commands.make", "Write the MIDI file of FORM and, if asked, its audio."),
    "open": ("groove.commands.screen", "Open a page on which a form is written and heard."),
    "pack": ("groove.commands.pack", "Make everything to post of FORM, as a folder and a zip."),
    "page": ("groove.commands.handouts", "Write a page that plays FORM in any key at any tempo."),
    "patterns": ("groove.commands.look_up", "List the patterns of the band, or print one."),
    "preview": ("groove.commands.posting", "Write half a minute of the track of FORM, as MP3."),
    "set": ("groove.commands.set_list", "Write the book of charts and the tracks of a set list."),
    "sheet": (
        "groove.commands.handouts",
        "Write the lesson sheet of FORM: what to play, and where.",
    ),
    "text": ("groove.commands.posting", "Write the text to post with the track of FORM."),
    "video": ("groove.commands.posting", "Write a video of FORM in which the chart follows it."),
}
"""Each command's module, which has it as ``NAME_command``, and its line in the help."""
PACKAGE = Path(__file__).parent
GARBAGE = (200_000, 50, 100)
"""Thresholds of Python's search for circles of garbage: a command makes next to none, and to look
for them among a band's notes as often as usual takes a twentieth of the time until it plays."""
OUT_OF_MEMORY = "out of memory; nothing is left half-written"
NO_MEMORY = ("failed to map segment", "can't start new thread")
"""Parts of the messages of Python's loader and its threads when memory is short."""
DETAILS = "GROOVE_DEBUG"
"""The environment variable that asks for the traceback of an unexpected error."""


def main() -> NoReturn:
    """Run the command line. Every error ends in one line and an exit code."""
    _settle_streams()
    gc.set_threshold(*GARBAGE)
    # The array library's own threads mostly wait, at full speed: those that look for peaks, one on
    # each core, multiply small matrices.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        code = cli.main(prog_name="groove", standalone_mode=False)
        sys.stdout.flush()
    except click.exceptions.NoArgsIsHelpError as error:
        show_message(error.format_message())
        code = BAD_USAGE
    except click.ClickException as error:
        code = fail(error.format_message(), BAD_USAGE)
    except StopError as error:
        drop(sys.stdout)
        code = fail(str(error), FAILED)
    except OptionError as error:
        code = fail(f"--{error.option.replace('_', '-')}: {error.text}", BAD_USAGE)
    except GrooveError as error:
        code = fail(str(error), BAD_USAGE if error.usage else FAILED)
    except (click.Abort, KeyboardInterrupt):
        drop(sys.stdout)
        code = fail("stopped; nothing was written", FAILED)
    except BrokenPipeError:  # the reader of our output has gone
        drop(sys.stdout)
        code = FAILED
    except OSError as error:
        drop(sys.stdout)
        code = fail(f"{error.filename or 'output'}: {error.strerror or error}", FAILED)
    except MemoryError:
        code = fail(OUT_OF_MEMORY, FAILED)
    except Exception as error:
        code = fail(OUT_OF_MEMORY if _lacks_memory(error) else _unexpected(error), FAILED)
        if os.environ.get(DETAILS):
            show_message(traceback.format_exc())
    sys.exit(code)


def _lacks_memory(error: BaseException | None) -> bool:
    """True if an error, or one that led to it, came from a lack of memory."""
    if error is None:
        return False
    signs = (sign in str(error) for sign in NO_MEMORY)
    return isinstance(error, MemoryError) or any(signs) or _lacks_memory(error.__context__)


def _unexpected(error: Exception) -> str:
    """An unexpected error in one line: its type, its text and the place in the code."""
    place = "?"
    for frame, line in traceback.walk_tb(error.__traceback__):
        path = Path(frame.f_code.co_filename)
        if path.is_relative_to(PACKAGE):
            place = f"{path.relative_to(PACKAGE.parent)}, line {line}"
    return (
        f"a fault in groove {__version__}: {type(error).__name__}: {error} ({place}); please "
        f"report this line and the command; {DETAILS}=1 shows the details"
    )


def _settle_streams() -> None:
    """Open closed streams on the null device, so that no file gets their numbers, and let any
    text be printed."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        stream = getattr(sys, name)
        if stream is None:
            nowhere = os.open(os.devnull, os.O_RDWR)  # the lowest free number: the closed one's
            setattr(sys, name, os.fdopen(nowhere, mode))
        elif mode == "w" and isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


class Commands(click.Group):
    """A group that imports a command when it is called, and lists all without importing them."""

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = getattr(
            import_module(COMMANDS[cmd_name][0]), f"{cmd_name}_command"
        )
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, COMMANDS[name][1]) for name in self.list_commands(ctx)])


@click.group(
    cls=Commands,
    commands=[click.Command(name) for name in COMMANDS],
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, prog_name="groove")
def cli() -> None:
    """Make backing tracks: a form goes in; drums, bass and comping come out as MIDI and audio.

    \b
    Example:
      groove make twelve-bar --key G --tempo 112 --drums rumba --audio wav -o out
    """
