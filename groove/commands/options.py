"""Options that several commands share: FORM with its fields, names, files, readers, paper."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import wraps
from typing import Any

import click
from click.shell_completion import CompletionItem

from groove import library
from groove.errors import OptionError, nearest
from groove.form.build import Layer, build
from groove.form.fields import FIELDS
from groove.form.model import Form
from groove.form.read import source_layer
from groove.form.readers import READERS
from groove.lesson.request import DOTS, INSTRUMENTS
from groove.wording import worded, words_of

PATTERN_KINDS = ("drums", "bass", "comping", "percussion", "endings")


def completing(*kinds: str) -> Callable[..., list[CompletionItem]]:
    def complete(_ctx: click.Context, _param: click.Parameter, start: str) -> list[CompletionItem]:
        names = [name for kind in kinds for name in library.names(kind) if name.startswith(start)]
        found = [CompletionItem(name) for name in dict.fromkeys(names)]
        return found + ([CompletionItem(start, type="file")] if "forms" in kinds else [])

    return complete


def form_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """FORM, and every form field as an option of the same name."""
    return click.argument(
        "form", required=False, metavar="FORM", shell_complete=completing("forms")
    )(field_options(command))


def field_options(command: Callable[..., Any]) -> Callable[..., Any]:
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
            kind = "endings" if name == "ending" else name
            complete = completing(kind) if kind in PATTERN_KINDS else None
            option = click.option(
                flag, name, metavar=field.holds, help=field.help, shell_complete=complete
            )
        command = option(command)
    return command


def takes_form(command: Callable[..., Any]) -> Callable[..., Any]:
    """FORM and its fields for a command, whose first argument is then the form that was read."""

    @wraps(command)
    def reading(form: str | None, no_turnaround: bool, **options: Any) -> Any:
        fields = {name: options.pop(name) for name in FIELDS if name in options}
        read = read_form(form, no_turnaround, fields)
        with worded(read.lesson.words):
            return command(read, **options)

    return form_options(reading)


def read_form(form: str | None, no_turnaround: bool, options: dict[str, Any]) -> Form:
    """The form that was asked for, with the options above it."""
    above = options_layer(no_turnaround, options)
    if form is None:
        swallowed = above.values.get("turnaround")
        hint = f" (--turnaround took {swallowed!r}; put FORM first)" if swallowed else ""
        raise click.UsageError(f"FORM is missing{hint}; groove forms lists what there is")
    return build([source_layer(form), above])


def options_layer(no_turnaround: bool, options: dict[str, Any]) -> Layer:
    """The fields that were given on the command line."""
    given = {name: value for name, value in options.items() if value is not None}
    if no_turnaround:
        given["turnaround"] = False
    return Layer(given, lambda field: "--" + field.replace("_", "-"), is_options=True)


class Names(click.ParamType[str]):
    """An option's type: some of the allowed names, with commas between them."""

    name = "names"

    def __init__(self, *names: str) -> None:
        self.names = names

    def _named(self, word: str) -> str:
        """The name that is meant, in large or small letters."""
        return next((name for name in self.names if name.lower() == word.lower()), word)

    def get_metavar(self, param: click.Parameter, ctx: click.Context) -> str:
        return "NAMES"

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        found = [self._named(name.strip()) for name in value.split(",")]
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


def files_option(endings: tuple[str, ...], help_: str) -> Callable[..., Any]:
    """The option ``-o FILE``, given any number of times, for names with one of these endings."""

    def check(
        _ctx: click.Context, _param: click.Parameter, names: tuple[str, ...]
    ) -> tuple[str, ...]:
        for name in names:
            if not name.lower().endswith(endings):
                raise click.UsageError(f"-o: found {name!r}; it must end in {', '.join(endings)}")
        return names

    return click.option(
        "-o", "--out", "files", multiple=True, metavar="FILE", callback=check,
        help=f"{help_}; can be given several times",
    )  # fmt: skip


def together(*options: Callable[..., Any]) -> Callable[..., Any]:
    """Several options as one decorator, in the order in which help tells them."""

    def decorated(command: Callable[..., Any]) -> Callable[..., Any]:
        for option in reversed(options):
            command = option(command)
        return command

    return decorated


class Player(click.Choice[str]):
    """Some names, and the common names of instruments in ``patterns/lesson/players.toml``."""

    def __init__(self, table: str, names: Sequence[str]) -> None:
        super().__init__(names, case_sensitive=False)
        self.table = table

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        name = value.strip().lower().replace(" ", "-")
        known = {choice.lower(): choice for choice in self.choices}
        players = words_of("players")[self.table]
        if name not in known and name not in players:
            right = nearest(name, [*self.choices, *players])
            self.fail(f"{value!r} is not there; {right}", param, ctx)
        return known.get(name, name)


hand_options = together(
    click.option(
        "--instrument",
        type=Player("instrument", INSTRUMENTS),
        metavar="NAME",
        help=f"{', '.join(INSTRUMENTS)}; guitar if left out, for concert pitch",
    ),
    click.option(
        "--tuning",
        metavar="STRINGS",
        help='drop-d, bass-5, ... or the open strings, "D2 A2 D3 G3 B3 E4"',
    ),
    click.option("--left-handed", is_flag=True, help="mirror the fretboards"),
    click.option(
        "--position",
        type=int,
        metavar="FRET",
        help="where the first finger stays for all chords; the best place if left out",
    ),
)
lesson_options = together(
    click.option(
        "--dots",
        type=click.Choice(tuple(DOTS), case_sensitive=False),
        default="degrees",
        metavar="WHAT",
        help="what stands on the dots: names, degrees (default) or fingers",
    ),
    click.option(
        "--phrase",
        metavar="NOTES",
        help="a phrase to find all over the neck, in the order played: 3f5 is string 3 "
        "(1 is the highest), fret 5; C4 or Bb3 a note with its octave; "
        'a colon adds beats: "4f7 3f5:1/2 C4:3/2"',
    ),
)
paper_option = click.option(
    "--paper",
    type=click.Choice(["a4", "letter"], case_sensitive=False),
    default="a4",
    metavar="SIZE",
    help="a4 (default) or letter",
)


reader_option = click.option(
    "--for",
    "reader",
    type=Player("for", tuple(READERS)),
    default="concert",
    metavar="READER",
    help=f"who reads it: {', '.join(READERS)}, or an instrument: alto-sax, ...",
)
soundfont_option = click.option(
    "--soundfont",
    metavar="FILE",
    multiple=True,
    help="play with this soundfont, not with groove's own; drums=FILE: that player alone",
)
stems_option = click.option(
    "--stems", is_flag=True, default=None, help="also a file of each part by itself"
)


def _renamed(_ctx: click.Context, _param: click.Parameter, given: bool) -> None:
    if given:
        from groove.sound.options import RENAMED

        raise OptionError("minus_one", RENAMED["minus_one"])


without_each_option = together(
    click.option(
        "--without-each", is_flag=True, default=None, help="also a mix without each of the players"
    ),
    click.option("--minus-one", is_flag=True, hidden=True, expose_value=False, callback=_renamed),
)
