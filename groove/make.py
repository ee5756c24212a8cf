"""The main job: a form becomes files."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from groove.errors import GrooveError, nearest
from groove.files import file_stem, written_together
from groove.form.chart import unroll
from groove.form.model import USUAL_A4, Form
from groove.form.read import read_form

if TYPE_CHECKING:
    from groove.band.take import Take

AUDIO = ("none", "wav")
PLOTS = (".png", ".svg")


def compile_take(form: Form) -> Take:
    """The take of a form: its chart, played by the band, with touch.

    >>> [part.name for part in compile_take(read_form("twelve-bar")).parts]
    ['drums', 'bass', 'comping']
    """
    from groove.band.take import play, record

    chart = unroll(form)
    return record(chart, play(chart))


def make(
    form: Form | str | Path,
    folder: str | Path = ".",
    *,
    audio: str = "none",
    soundfont: str | Path | None = None,
    plot: str | Path | None = None,
    say: Callable[[str], None] = lambda line: None,
    progress: Callable[[float], None] | None = None,
) -> list[Path]:
    """Write the MIDI file of a form and, if asked, its audio.

    form: a Form, or what read_form takes. audio: ``"none"`` or ``"wav"``. soundfont: a file in
    place of the best one found. plot: a ``.png`` or ``.svg`` file to draw the take into. say: is
    told, a line at a time, what the reader should know. progress: is told how much of the audio
    is done, 0 to 1. Returns the paths written, the MIDI file first and the plot last. Raises
    GrooveError; then nothing has been written.
    """
    from groove.sound.midi import midi_file

    if audio not in AUDIO:
        raise GrooveError(f"audio: found {audio!r}; {nearest(audio, AUDIO)}")
    picture = _picture(plot)
    if not isinstance(form, Form):
        form = read_form(form)
    font = None
    if audio != "none" or soundfont is not None:
        from groove.sound.soundfonts import find_soundfont

        font = find_soundfont(None if soundfont is None else Path(soundfont), os.environ)
    if font and audio == "none":
        say("note: a soundfont is for audio, and no audio was asked for")
    for note in form.notes:
        say(f"note: {note}")
    take = compile_take(form)
    midi = midi_file(take)
    stem = Path(folder) / file_stem(form)
    targets = [Path(f"{stem}.mid")] + ([Path(f"{stem}.wav")] if audio == "wav" else [])
    replaced = [path for path in targets + picture if os.path.exists(path)]  # noqa: PTH110
    with written_together(targets) as staged, written_together(picture) as drawn:
        for path in drawn:
            from groove.handout.roll import draw_roll

            draw_roll(take, path)
        midi.save(staged[0])
        if audio == "wav" and font:
            from groove.sound.audio import render_wav

            say(f"soundfont: {font}")
            facts = render_wav(midi, font, staged[1], loop=_loop(take), progress=progress)
            for missing in facts.missing:
                say(f"note: the soundfont has no {missing}; another sound stands in for it")
    for path in replaced:
        say(f"note: {path} was there before and has been replaced")
    return targets + picture


def _picture(plot: str | Path | None) -> list[Path]:
    """The file of a plot, none if none is asked for; GrooveError for a kind we don't draw."""
    if plot is None:
        return []
    if Path(plot).suffix.lower() not in PLOTS:
        raise GrooveError(f"plot: found {str(plot)!r}; a file that ends in .png or .svg is allowed")
    return [Path(plot)]


def _loop(take: Take) -> tuple[float, float] | None:
    """Start and end in seconds of what is repeated, where the ending is a loop."""
    chart = take.chart
    return None if chart.ending else (chart.seconds(chart.start), chart.seconds(chart.end))


def summary(form: Form) -> str:
    """A form in one line: size, key, tempo, length and who plays what."""
    chart = unroll(form)
    seconds = round(chart.seconds(chart.end))
    first, last = chart.choruses[0], chart.choruses[-1]
    keys = list(dict.fromkeys(chorus.key.symbol for chorus in chart.choruses))
    cycle = f", then {' '.join(keys[1:])}" if len(keys) > 1 else ""
    ladder = f" to {last.tempo:g}" if last.tempo != first.tempo else ""
    tuned = "" if form.a4 == USUAL_A4 else f", A at {form.a4:g} Hz"
    swing = "" if form.swing_ratio == 1 else f" ({form.swing_ratio:.2g}:1)"
    return (
        f"{form.title}: {form.bars} bars of {form.meter} in {form.key}{cycle}, "
        f"{form.feel}{swing} at {form.tempo:g}{ladder}, "
        f"{form.choruses} {'chorus' if form.choruses == 1 else 'choruses'}, "
        f"{seconds // 60}:{seconds % 60:02}{tuned}; "
        f"drums {form.drums}, bass {form.bass}, comping {form.comping}"
    )
