"""The command line: loads the command called; turns every error into one line and an exit code."""

from __future__ import annotations

import atexit
import io
import os
import signal
import sys
from importlib import import_module
from typing import NoReturn

import click

from groove.commands.terminal import fail
from groove.errors import BAD_USAGE, FAILED, GrooveError, OptionError, StopError
from groove.version import __version__

COMMANDS = {
    "chart": ("groove.commands.handouts", "Write the chord chart of FORM, to read or to print."),
    "check": ("groove.commands.look_up", "Say what is wrong with FORM, and what would be right."),
    "forms": ("groove.commands.look_up", "List the shipped forms, or print one."),
    "make": ("groove.commands.make", "Write the MIDI file of FORM and, if asked, its audio."),
    "pack": ("groove.commands.pack", "Make everything to post of FORM, as a folder and a zip."),
    "page": ("groove.commands.handouts", "Write a page that plays FORM in any key at any tempo."),
    "patterns": ("groove.commands.look_up", "List the patterns of the band, or print one."),
    "sheet": (
        "groove.commands.handouts",
        "Write the lesson sheet of FORM: what to play, and where.",
    ),
}
"""Each command's module, which has it as ``NAME_command``, and its line in the help."""
STOPPING = ("SIGINT", "SIGTERM", "SIGHUP")


def main() -> NoReturn:
    """Run the command line; whatever goes wrong ends in one line and an exit code."""
    _settle_streams()
    _stop_on_signals()
    # The array library's own threads only wait, at full speed: no matrix is multiplied here.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        code = cli.main(prog_name="groove", standalone_mode=False)
        sys.stdout.flush()
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.format_message(), err=True)
        code = BAD_USAGE
    except click.ClickException as error:
        code = fail(error.format_message(), BAD_USAGE)
    except StopError as error:
        _drop_output()
        code = fail(str(error), FAILED)
    except OptionError as error:
        code = fail(f"--{error.option.replace('_', '-')}: {error.text}", BAD_USAGE)
    except GrooveError as error:
        code = fail(str(error), BAD_USAGE if error.usage else FAILED)
    except (click.Abort, KeyboardInterrupt):
        _drop_output()
        code = fail("stopped; nothing was written", FAILED)
    except BrokenPipeError:  # whoever read our output has gone
        _drop_output()
        code = FAILED
    except OSError as error:
        _drop_output()
        code = fail(f"{error.filename or 'output'}: {error.strerror or error}", FAILED)
    sys.exit(code)


def _drop_output() -> None:
    """Lead standard output nowhere: what it still holds can't fail at the end, nor wait there."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _settle_streams() -> None:
    """A closed stream leads nowhere, so that no file takes its place; any text can be printed."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        stream = getattr(sys, name)
        if stream is None:
            nowhere = os.open(os.devnull, os.O_RDWR)  # the lowest free number: the closed one's
            setattr(sys, name, os.fdopen(nowhere, mode))
        elif mode == "w" and isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _stop_on_signals() -> None:
    """Clean up when told to end, as on Ctrl-C, and let nothing disturb that."""
    numbers = [getattr(signal, name) for name in STOPPING if hasattr(signal, name)]
    usual = (signal.SIG_DFL, signal.default_int_handler)
    heeded = [number for number in numbers if signal.getsignal(number) in usual]

    def stop(_number: int, _frame: object) -> None:
        for number in heeded:  # to be ignored by the system would be noisy if one comes just now
            signal.signal(number, lambda _number, _frame: None)
        raise KeyboardInterrupt

    for number in heeded:
        signal.signal(number, stop)
    # On the way out Python takes its handlers back, and one more stop would change the exit code.
    atexit.register(signal.pthread_sigmask, signal.SIG_BLOCK, heeded)


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
