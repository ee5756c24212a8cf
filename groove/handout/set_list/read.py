"""Reads a set list: its title, readers and tunes, each a form with options of its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Any

from groove.errors import OptionError, nearest, quoted
from groove.form.build import FormError, Layer, build
from groove.form.fields import FIELDS
from groove.form.model import Form
from groove.form.read import source_layer, toml_layer
from groove.form.readers import reader_named

FIELDS_OF_A_SET = ("title", "for", "tunes")
OF_A_TUNE = tuple(name for name in FIELDS if name != "sections")
MOST_TUNES = 99
CONCERT = "concert"
EXAMPLE = '[[tunes]] with form = "ferry.toml"'
NO_OPTIONS = Layer({}, lambda field: field, is_options=True)


@dataclass(frozen=True, slots=True)
class SetList:
    """A set list. readers: those of the books, by the names as they were given, concert first."""

    title: str
    readers: tuple[str, ...]
    tunes: tuple[Form, ...]


def read_set(
    path: str | Path, options: Layer = NO_OPTIONS, readers: str | Iterable[str] | None = None
) -> SetList:
    """Read and check a set list and all its forms.

    path: a TOML file. options: fields that stand above those of every tune; a title is that of
    the set. readers: in place of those of the file. Raises FormError with every problem found, each
    with the place of its tune, and OptionError for a reader that is not known.
    """
    layer = toml_layer(path)
    problems = [
        f"{layer.place(field)}: unknown field {quoted(field)}; {nearest(field, FIELDS_OF_A_SET)}"
        for field in layer.values
        if field not in FIELDS_OF_A_SET
    ]
    tunes = layer.values.get("tunes")
    if tunes is None or (problems and {"chords", "sections"} & set(layer.values)):
        a_form = {"chords", "sections"} & set(layer.values)
        hint = f"it is a form; groove make {path} makes its track" if a_form else EXAMPLE
        raise FormError([f"{path}: no tunes; {hint}"])
    title = options.values.get("title", layer.values["title"])
    if not isinstance(title, str) or not title.strip().isprintable() or not title.strip():
        problems.append(f"{layer.place('title')}: found {quoted(title)}; write one line of text")
    if not isinstance(tunes, list) or not 1 <= len(tunes) <= MOST_TUNES:
        problems.append(f"{layer.place('tunes')}: 1 to {MOST_TUNES} tunes are allowed, {EXAMPLE}")
        tunes = []
    above = Layer(
        {field: value for field, value in options.values.items() if field != "title"},
        options.place,
        is_options=True,
    )
    forms: list[Form] = []
    failed: list[tuple[str, FormError]] = []
    for number, tune in enumerate(tunes, 1):
        try:
            forms.append(_tune(layer, Path(path).parent, number, tune, above))
        except FormError as error:
            failed.append((layer.place(f"tunes {number} form").removesuffix(", form"), error))
    if len({fault.problems for _, fault in failed}) == 1 and len(failed) == len(tunes):
        raise failed[0][1]  # an option that no tune can have, or a set of one tune
    for place, fault in failed:
        problems += [f"{place}, {p}" if p.startswith("--") else p for p in fault.problems]
    try:
        named = _readers(layer.values.get("for", "") if readers is None else readers)
    except OptionError as error:
        if readers is not None:
            raise
        problems.append(f"{layer.place('for')}: {error.text}")
    if problems:
        raise FormError(problems, listing="groove set --check")
    return SetList(" ".join(title.split()), named, tuple(forms))


def _readers(asked: object) -> tuple[str, ...]:
    """The readers of the books, concert first: each name once, players in small letters."""
    texts = [asked] if isinstance(asked, str) else asked
    if not isinstance(texts, (list, tuple)) or not all(isinstance(text, str) for text in texts):
        raise OptionError("for", f'found {quoted(asked)}; write names, as in "Bb, alto-sax"')
    words = [word.strip().replace(" ", "-") for text in texts for word in text.split(",")]
    readers = {word.lower(): reader_named(word).name for word in words if word}
    names = [reader if reader.lower() == name else name for name, reader in readers.items()]
    return tuple(dict.fromkeys([CONCERT, *names]))


def _tune(layer: Layer, folder: Path, number: int, tune: object, above: Layer) -> Form:
    """The form of a tune. Raises FormError, each problem with the place of the tune."""

    def place(field: str) -> str:
        return layer.place(f"tunes {number} {field}")

    if not isinstance(tune, Mapping) or "form" not in tune:
        raise FormError([f"{place('form')}: tune {number} has no form; {EXAMPLE}"])
    source = _source(folder, tune["form"], place("form"))
    values: dict[str, Any] = {field: value for field, value in tune.items() if field != "form"}
    unknown = [field for field in values if field not in OF_A_TUNE]
    if unknown:
        raise FormError(
            [f"{place(f)}: unknown field {quoted(f)}; {nearest(f, OF_A_TUNE)}" for f in unknown]
        )
    try:
        return build([source_layer(source), Layer(values, place, is_options=True), above])
    except FormError as error:
        at = place("form").removesuffix(", form")
        mine = layer.place("") + ","
        raise FormError(
            [p if p.startswith((mine, "--")) else f"{at}, {p}" for p in error.problems],
            usage=all(p.startswith("--") for p in error.problems),
        ) from None


def _source(folder: Path, form: object, place: str) -> str:
    """The form of a tune as source_layer takes it: a file beside or below the set, or a name."""
    parts = PurePosixPath(form).parts if isinstance(form, str) else ()
    if not isinstance(form, str) or not parts:
        raise FormError([f'{place}: found {quoted(form)}; write a file or a name, "twelve-bar"'])
    if PurePosixPath(form).is_absolute() or ".." in parts or parts[0] == "~" or form == "-":
        allowed = "a file beside or below the set's own folder, or the name of a shipped form"
        raise FormError([f"{place}: found {quoted(form)}; {allowed} is allowed"])
    bare = len(parts) == 1 and not PurePosixPath(form).suffix
    return form if bare and not (folder / form).is_file() else str(folder / form)
