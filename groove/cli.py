"""The command line: parse, call, print; nothing else."""

from __future__ import annotations

import io
import json
import os
import signal
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, NoReturn, cast

import click
from click.shell_completion import CompletionItem

import groove
from groove import library
from groove.errors import GrooveError, nearest
from groove.form.build import FormError, Layer, build
from groove.form.fields import FIELDS
from groove.form.model import Form
from groove.form.read import source_layer
from groove.make import PLOTS
from groove.sound.mixes import PARTS
from groove.sound.options import BITS, FORMATS, NONE, TARGET, AudioOptions

if TYPE_CHECKING:
    from groove.sound.report import Report

FAILED, BAD_USAGE = 1, 2
LONGEST_LINE = 600  # characters
CHARTS = (".svg", ".pdf", ".musicxml")
READERS = ("concert", "Bb", "Eb", "F", "bass-clef")
SHEETS = (".pdf", ".svg", ".md", ".json")
INSTRUMENTS = ("guitar", "bass", "ukulele", "mandolin", "keyboard", "none")
DOTS = ("names", "degrees", "fingers")
PATTERN_KINDS = ("drums", "bass", "comping")
SECONDS_A_LINE = 10


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
        code = _fail(error.format_message(), BAD_USAGE)
    except FormError as error:
        code = _fail(str(error), BAD_USAGE if error.usage else FAILED)
    except GrooveError as error:
        code = _fail(str(error), FAILED)
    except (click.Abort, KeyboardInterrupt):
        code = _fail("stopped; nothing was written", FAILED)
    except BrokenPipeError:  # whoever read our output has gone
        _drop_output()
        code = FAILED
    except OSError as error:
        _drop_output()
        code = _fail(f"{error.filename or 'output'}: {error.strerror or error}", FAILED)
    sys.exit(code)


def _drop_output() -> None:
    """Lead standard output nowhere, so that what it still holds can't fail again at the end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _fail(text: str, code: int) -> int:
    _say(f"groove: {text}")
    return code


def _say(text: str) -> None:
    """One line to standard error, short enough to read and free of control characters."""
    line = "".join(c if c.isprintable() else "?" for c in " ".join(text.split()))
    if len(line) > LONGEST_LINE:
        half = LONGEST_LINE // 2
        line = f"{line[:half]} ... {line[-half:]}"
    click.echo(line, err=True)


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
    """Clean up when told to end, as on Ctrl-C."""
    for name in ("SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        if number and signal.getsignal(number) is signal.SIG_DFL:
            signal.signal(number, signal.default_int_handler)


def _completing(*kinds: str) -> Callable[..., list[CompletionItem]]:
    def complete(_ctx: click.Context, _param: click.Parameter, start: str) -> list[CompletionItem]:
        names = [name for kind in kinds for name in library.names(kind) if name.startswith(start)]
        found = [CompletionItem(name) for name in dict.fromkeys(names)]
        return found + ([CompletionItem(start, type="file")] if "forms" in kinds else [])

    return complete


def _form_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Every form field as an option of the same name."""
    for name, field in reversed(FIELDS.items()):
        flag = "--" + name.replace("_", "-")
        if name == "sections":
            continue
        if name in ("quick_change", "tuning_note"):
            option = click.option(f"{flag}/--no{flag[1:]}", name, default=None, help=field.help)
        elif name == "turnaround":
            command = click.option(
                "--no-turnaround", is_flag=True, help="keep the last bars as they are"
            )(command)
            option = click.option(
                flag, name, is_flag=False, flag_value="true", metavar="[CHORDS]", help=field.help
            )
        else:
            complete = _completing(name) if name in PATTERN_KINDS else None
            option = click.option(
                flag, name, metavar=field.holds, help=field.help, shell_complete=complete
            )
        command = option(command)
    return click.argument(
        "form", required=False, metavar="FORM", shell_complete=_completing("forms")
    )(command)


def _read(form: str | None, no_turnaround: bool, options: dict[str, Any]) -> Form:
    given = {name: value for name, value in options.items() if value is not None}
    if no_turnaround:
        given["turnaround"] = False
    if form is None:
        swallowed = given.get("turnaround")
        hint = f" (--turnaround took {swallowed!r}; put FORM first)" if swallowed else ""
        raise click.UsageError(f"FORM is missing{hint}; groove forms lists what there is")
    options_layer = Layer(given, lambda field: "--" + field.replace("_", "-"), is_options=True)
    return build([source_layer(form), options_layer])


class _Names(click.ParamType[str]):
    """Names out of some, with commas between them."""

    name = "names"

    def __init__(self, *names: str) -> None:
        self.names = names

    def get_metavar(self, param: click.Parameter, ctx: click.Context) -> str:
        return "NAMES"

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        found = [name.strip().lower() for name in value.split(",")]
        for name in found:
            if name not in self.names:
                self.fail(f"{name!r} is not there; {nearest(name, self.names)}", param, ctx)
        return ",".join(found)

    def shell_complete(
        self, ctx: click.Context, param: click.Parameter, incomplete: str
    ) -> list[CompletionItem]:
        before, comma, begun = incomplete.rpartition(",")
        return [
            CompletionItem(before + comma + name)
            for name in self.names
            if name.startswith(begun) and name not in before.split(",")
        ]


@contextmanager
def _progress_bar() -> Iterator[Callable[[float], None]]:
    """A function that shows how much is done, 0 to 1, where somebody is looking."""
    if not sys.stderr.isatty():
        yield lambda _done: None
        return
    bar = click.progressbar(length=1000, label="audio", file=sys.stderr)

    try:
        yield lambda done: bar.update(round(done * 1000) - bar.pos)
    finally:
        if bar.pos:
            bar.render_finish()


def _picture_name(_ctx: click.Context, _param: click.Parameter, name: str | None) -> str | None:
    if name is not None and not name.lower().endswith(PLOTS):
        raise click.UsageError(f"--plot: found {name!r}; it must end in .png or .svg")
    return name


def _chart_names(
    _ctx: click.Context, _param: click.Parameter, names: tuple[str, ...]
) -> tuple[str, ...]:
    for name in names:
        if not name.lower().endswith(CHARTS):
            raise click.UsageError(f"-o: found {name!r}; it must end in {', '.join(CHARTS)}")
    return names


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(groove.__version__, prog_name="groove")
def cli() -> None:
    """Make backing tracks: a form goes in; drums, bass and comping come out as MIDI and audio.

    \b
    Example:
      groove make twelve-bar --key G --tempo 112 --drums rumba --audio wav -o out
    """


@cli.command("make")
@_form_options
@click.option(
    "--audio",
    type=_Names(*FORMATS, NONE),
    multiple=True,
    help="wav, flac, mp3, ogg, or none (default); several with commas between them",
)
@click.option("--bits", type=click.Choice(BITS), help="of wav and flac: 16 (default) or 24")
@click.option("--stems", is_flag=True, default=None, help="also a file of each part by itself")
@click.option(
    "--minus-one", is_flag=True, default=None, help="also a mix without each of the players"
)
@click.option(
    "--without", type=_Names(*PARTS), multiple=True, help="leave out drums, bass, comping or click"
)
@click.option("--only", type=_Names(*PARTS), multiple=True, help="nobody but these players")
@click.option(
    "--loudness", type=float, metavar="LUFS", help=f"of the whole band, {TARGET:g} if left out"
)
@click.option(
    "--apart",
    is_flag=True,
    default=None,
    help="drums and bass left, comping right, to turn off by the balance",
)
@click.option("--soundfont", metavar="FILE", help="play with this soundfont")
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
@click.option("-o", "--out", default=".", metavar="FOLDER", help="where to write; here if left out")
def make_command(
    form: str | None,
    no_turnaround: bool,
    audio: tuple[str, ...],
    soundfont: str | None,
    report: bool,
    as_json: bool,
    plot: str | None,
    out: str,
    **options: Any,
) -> None:
    """Write the MIDI file of FORM and, if asked, its audio.

    FORM is a TOML file, the name of a shipped form, or - for standard input.

    \b
    Example:
      groove make twelve-bar --key Bb --tempo 96 --turnaround --audio wav --stems -o out
    """
    sound = {name: options.pop(name) for name in AudioOptions.__annotations__}
    sound = {name: value for name, value in sound.items() if value not in (None, ())}
    read = _read(form, no_turnaround, options)
    reports: list[Report] = []
    with _progress_bar() as progress:
        paths = groove.make(
            read,
            out,
            audio=audio or None,
            soundfont=soundfont,
            plot=plot,
            say=_say,
            progress=progress,
            report=reports.append if report or as_json else None,
            **cast("AudioOptions", sound),
        )
    for facts in reports if report else ():
        for line in facts.lines():
            _say(line)
    if as_json:
        click.echo(json.dumps({"files": [str(path) for path in paths]} | reports[0].facts()))
        return
    for path in paths:
        click.echo(os.fsencode(path))


@cli.command("chart")
@_form_options
@click.option(
    "-o",
    "--out",
    "files",
    multiple=True,
    metavar="FILE",
    callback=_chart_names,
    help="write into a .svg, .pdf or .musicxml file; can be given several times",
)
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"], case_sensitive=False),
    default="a4",
    help="a4 (default) or letter",
    metavar="SIZE",
)
@click.option(
    "--for",
    "reader",
    type=click.Choice(READERS, case_sensitive=False),
    default="concert",
    help=f"who reads it: {', '.join(READERS)}",
    metavar="READER",
)
@click.option("--numerals", is_flag=True, help="Roman numerals under the chords (not in MusicXML)")
def chart_command(
    form: str | None,
    no_turnaround: bool,
    files: tuple[str, ...],
    paper: str,
    reader: str,
    numerals: bool,
    **options: Any,
) -> None:
    """Write the chord chart of FORM, here in the terminal or into files.

    FORM is a TOML file, the name of a shipped form, or - for standard input.

    \b
    Example:
      groove chart twelve-bar --key G --for Bb -o chart.pdf -o chart.musicxml
    """
    from groove.handout.chart_files import chart, write_chart_files
    from groove.handout.chart_text import chart_text

    read = _read(form, no_turnaround, options)
    for note in read.notes:
        _say(f"note: {note}")
    written = chart(read, reader)
    if not files:
        click.echo(chart_text(written, numerals=numerals))
    for path in write_chart_files(written, files, paper=paper, numerals=numerals):
        click.echo(os.fsencode(path))


def _sheet_names(
    _ctx: click.Context, _param: click.Parameter, names: tuple[str, ...]
) -> tuple[str, ...]:
    for name in names:
        if not name.lower().endswith(SHEETS):
            raise click.UsageError(f"-o: found {name!r}; it must end in {', '.join(SHEETS)}")
    return names


def _sheet_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """What a lesson sheet asks besides the form."""
    instruments = f"{', '.join(INSTRUMENTS)}; guitar if left out, for concert pitch"
    options = (
        click.option(
            "-o", "--out", "files", multiple=True, metavar="FILE", callback=_sheet_names,
            help="write into a .pdf, .svg (a file a page), .md or .json file; "
            "can be given several times",
        ),
        click.option(
            "--paper", type=click.Choice(["a4", "letter"], case_sensitive=False), default="a4",
            metavar="SIZE", help="a4 (default) or letter",
        ),
        click.option(
            "--for", "reader", type=click.Choice(READERS, case_sensitive=False),
            default="concert", metavar="READER", help=f"who reads it: {', '.join(READERS)}",
        ),
        click.option(
            "--instrument", type=click.Choice(INSTRUMENTS, case_sensitive=False),
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


@cli.command("sheet")
@_form_options
@_sheet_options
def sheet_command(
    form: str | None,
    no_turnaround: bool,
    files: tuple[str, ...],
    paper: str,
    **options: Any,
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

    asked = {name: options.pop(name) for name in Request.__dataclass_fields__}
    read = _read(form, no_turnaround, options)
    for note in read.notes:
        _say(f"note: {note}")
    sheet = write_sheet(read, Request(**asked))
    if not files:
        click.echo(sheet_markdown(sheet), nl=False)
    for path in write_sheet_files(sheet, files, paper=paper):
        click.echo(os.fsencode(path))


@cli.command("page")
@_form_options
@click.option("--soundfont", metavar="FILE", help="play with this soundfont")
@click.option("--private", is_flag=True, help="not for posting: any soundfont will do")
@click.option("-o", "--out", required=True, metavar="NAME.html", help="the file to write")
def page_command(
    form: str | None,
    no_turnaround: bool,
    soundfont: str | None,
    private: bool,
    out: str,
    **options: Any,
) -> None:
    """Write a practice page of FORM: one HTML file that plays it in any key at any tempo.

    FORM is a TOML file, the name of a shipped form, or - for standard input.

    \b
    Example:
      groove page twelve-bar --drums rumba -o practice.html
    """
    from groove.handout.practice import make_page

    read = _read(form, no_turnaround, options)
    bar = None
    if sys.stderr.isatty():
        bar = click.progressbar(length=1000, label="page", file=sys.stderr)

    def progress(done: float) -> None:
        if bar:
            bar.update(round(done * 1000) - bar.pos)

    try:
        path = make_page(
            read, out, soundfont=soundfont, private=private, say=_say, progress=progress
        )
    finally:
        if bar and bar.pos:
            bar.render_finish()
    click.echo(os.fsencode(path))


@cli.command("pack")
@_form_options
@click.option("--keys", default="all", metavar="KEYS", help="all (default), or some, as in C,F,Bb")
@click.option(
    "--tempos", default="", metavar="BEATS", help="as in 80,100,120; the form's own if left out"
)
@click.option(
    "--audio",
    type=_Names(*FORMATS, NONE),
    multiple=True,
    help="mp3 (default), ogg, flac, wav, or none; several with commas between them",
)
@click.option("--stems", is_flag=True, help="also a file of each part by itself")
@click.option("--minus-one", is_flag=True, help="also a mix without each of the players")
@click.option("--soundfont", metavar="FILE", help="play with this soundfont")
@click.option("--yes", is_flag=True, help="begin without asking, however much it is")
@click.option(
    "-o",
    "--out",
    metavar="FOLDER",
    help="where to write; a folder named after the title if left out",
)
def pack_command(
    form: str | None,
    no_turnaround: bool,
    keys: str,
    tempos: str,
    audio: tuple[str, ...],
    stems: bool,
    minus_one: bool,
    soundfont: str | None,
    yes: bool,
    out: str | None,
    **options: Any,
) -> None:
    """Make everything to post of FORM: tracks, charts, lesson sheets, practice page, and a zip.

    FORM is a TOML file, the name of a shipped form, or - for standard input. Run it again after
    a change, or when it was broken off: only what is missing is made.

    \b
    Example:
      groove pack twelve-bar --keys all --tempos 80,100,120 -o lesson-7
    """
    read = _read(form, no_turnaround, options)

    def agree(_estimate: object) -> bool:
        if yes or not sys.stdin.isatty() or not sys.stderr.isatty():
            return yes
        return click.confirm("That is a lot. Begin?", err=True)

    try:
        with _progress_of_pack() as progress:
            packed = groove.pack(
                read,
                out,
                keys=keys,
                tempos=tempos,
                audio=audio or "mp3",
                stems=stems,
                minus_one=minus_one,
                soundfont=soundfont,
                say=_say,
                progress=progress,
                agree=agree,
            )
    except KeyboardInterrupt:
        raise GrooveError(
            "stopped; what is finished stays, and the next run goes on from there"
        ) from None
    for path in (packed.index, packed.zip):
        click.echo(os.fsencode(path))


@contextmanager
def _progress_of_pack() -> Iterator[Callable[[float], None]]:
    """A bar with the time left on a terminal, and else a line now and then."""
    begun = said = time.monotonic()
    bar = None

    def tell(done: float) -> None:
        nonlocal bar, said
        if sys.stderr.isatty():
            bar = bar or click.progressbar(length=1000, label="pack", file=sys.stderr)
            bar.update(round(done * 1000) - bar.pos)
            return
        now = time.monotonic()
        if now - said >= SECONDS_A_LINE and 0 < done < 1:
            from groove.handout.pack_estimate import duration

            said = now
            _say(f"{done:.0%} done, about {duration((now - begun) * (1 / done - 1))} left")

    try:
        yield tell
    finally:
        if bar:
            bar.render_finish()


@cli.command()
@_form_options
def check(form: str | None, no_turnaround: bool, **options: Any) -> None:
    """Say what is wrong with FORM, where, and what would be right.

    FORM is a TOML file, the name of a shipped form, or - for standard input.

    \b
    Example:
      groove check ferry.toml
    """
    try:
        read = _read(form, no_turnaround, options)
    except FormError as error:
        for problem in error.problems[:-1]:
            _fail(problem, FAILED)
        raise FormError([error.problems[-1]], error.usage) from None
    click.echo(groove.summary(read))
    for note in read.notes:
        click.echo(f"note: {note}")


@cli.command()
@click.argument("name", required=False, shell_complete=_completing("forms"))
def forms(name: str | None) -> None:
    """List the shipped forms; with a NAME, print that form's file.

    \b
    Example:
      groove forms twelve-bar > ferry.toml
    """
    if name:
        _show(("forms",), name)
        return
    for form in library.names("forms"):
        read = groove.read_form(form)
        click.echo(f"{form:26} {read.bars:3} bars  {read.title}")


@cli.command()
@click.argument("name", required=False, shell_complete=_completing(*PATTERN_KINDS))
def patterns(name: str | None) -> None:
    """List the drum patterns, bass and comping idioms; with a NAME, print its box notation.

    \b
    Example:
      groove patterns rumba
    """
    if name:
        _show(PATTERN_KINDS, name)
        return
    for kind in PATTERN_KINDS:
        for pattern in library.names(kind):
            content = library.load(kind, pattern)
            click.echo(f"{kind:8} {pattern:18} {content['about']}")


def _show(kinds: tuple[str, ...], name: str) -> None:
    """Print the shipped files of a name, of whatever kinds have one."""
    found = [library.path_of(kind, name) for kind in kinds if name in library.names(kind)]
    if not found:
        names = {shipped for kind in kinds for shipped in library.names(kind)}
        raise click.UsageError(f"{name!r} is not there; {nearest(name, names)}")
    for path in found:
        if len(found) > 1:
            click.echo(f"# {path.parent.name}/{path.name}")
        click.echo(path.read_text("utf-8"), nl=len(found) > 1)
