"""`groove check`, `groove forms` and `groove patterns`: errors in a form, and lists of names."""

from __future__ import annotations

from typing import Any

import click

import groove
from groove import library
from groove.commands.options import PATTERN_KINDS, completing, form_options, read_form
from groove.commands.terminal import fail
from groove.errors import FAILED, nearest
from groove.form.build import FormError
from groove.form.words import say_notes


@click.command("check")
@form_options
def check_command(form: str | None, no_turnaround: bool, **options: Any) -> None:
    """Say what is wrong with FORM, where, and what would be right.

    FORM is a TOML file, the name of a shipped form, or - for standard input.

    \b
    Example:
      groove check ferry.toml
    """
    try:
        read = read_form(form, no_turnaround, options)
    except FormError as error:
        for problem in error.problems[:-1]:
            fail(problem, FAILED)
        raise FormError([error.problems[-1]], error.usage) from None
    if read.lesson.phrases:
        from groove.lesson.teacher_phrases import check_phrases

        check_phrases(read)
    click.echo(groove.summary(read))
    say_notes(read, click.echo)


@click.command("forms")
@click.argument("name", required=False, shell_complete=completing("forms"))
def forms_command(name: str | None) -> None:
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


@click.command("patterns")
@click.argument("name", required=False, shell_complete=completing(*PATTERN_KINDS))
def patterns_command(name: str | None) -> None:
    """List drum patterns, bass, comping, percussion, endings; with a NAME, print its box notation.

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
            click.echo(f"{kind:10} {pattern:18} {content['about']}")


def _show(kinds: tuple[str, ...], name: str) -> None:
    """Print the shipped files of a name, of every kind that has one."""
    found = [library.path_of(kind, name) for kind in kinds if name in library.names(kind)]
    if not found:
        names = {shipped for kind in kinds for shipped in library.names(kind)}
        raise click.UsageError(f"{name!r} is not there; {nearest(name, names)}")
    for path in found:
        if len(found) > 1:
            click.echo(f"# {path.parent.name}/{path.name}")
        click.echo(path.read_text("utf-8"), nl=len(found) > 1)
