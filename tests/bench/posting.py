"""Prints what is posted with every shipped form, demo and example: title, place, chapters, lengths.

Run as ``python -m tests.bench.posting [--covers FOLDER] [--previews FOLDER]``; with folders, covers
and previews are made there too, and each preview's loudness stands beside that of the track there.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

import click
import pyloudnorm
import soundfile

import groove
from groove import library
from groove.band.plan.planner import planned
from groove.errors import GrooveError
from groove.form.model import Form
from groove.handout import SIZES
from groove.handout.posting.cover import make_cover
from groove.handout.posting.place import telling_place
from groove.handout.posting.players import heard
from groove.handout.posting.preview import cut_place, make_preview
from groove.handout.posting.text import posting_text, title_card_seconds

FOLDERS = ("demo", "tests/arrangements")


def forms() -> list[tuple[str, Form]]:
    """The shipped forms, the demos and the examples, by name; set lists are passed over."""
    found = [(name, groove.read_form(name)) for name in library.names("forms")]
    for path in (path for folder in FOLDERS for path in sorted(Path(folder).glob("*.toml"))):
        try:
            found.append((path.stem, groove.read_form(path)))
        except GrooveError as error:
            click.echo(f"passed over: {error}")
    return found


@click.command()
@click.option("--covers", type=click.Path(path_type=Path))
@click.option("--previews", type=click.Path(path_type=Path))
def main(covers: Path | None, previews: Path | None) -> None:
    """Print a paragraph for each form."""
    for name, form in forms():
        text = posting_text(form, lead_in=title_card_seconds())
        take = groove.compile_take(form)
        seconds = take.chart.seconds(take.chart.end)
        place = telling_place(planned(take.chart), heard(take, {}).parts, seconds)
        click.echo(f"{name}: {text.title}")
        click.echo(
            f"  title {len(text.title)}, short {len(text.short)}, long {len(text.long.encode())} "
            f"bytes, tags {len(','.join(text.tags))}, chapters {len(text.chapters)}"
        )
        click.echo(f"  {text.short}")
        click.echo(f"  {place.words}")
        if covers:
            covers.mkdir(parents=True, exist_ok=True)
            for size in SIZES:
                make_cover(form, covers / f"{name}-{size}.png", size=size)
        if previews:
            _preview(name, form, previews)


def _preview(name: str, form: Form, folder: Path) -> None:
    """Make a preview, and print its loudness and that of the same stretch of the track."""
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as place:
        wav = groove.make(form, place, audio="wav", bits=24)[1]
        made = make_preview(form, folder / f"{name}.mp3", audio=wav)
        _, cut = cut_place(form, wav, 30.0, {})
    heard_, rate = soundfile.read(made.path)
    meter = pyloudnorm.Meter(rate)
    loud, there = (meter.integrated_loudness(each) for each in (heard_, cut.samples))
    click.echo(f"  preview {len(heard_) / rate:.2f} s, {loud:.2f} LUFS; cut {there:.2f} LUFS")


if __name__ == "__main__":
    main()
