"""Makes the files of a track: MIDI, audio and a plot of a form."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Unpack

from groove.errors import OptionError
from groove.files import try_targets, written_together
from groove.form.file_names import file_stem
from groove.form.model import Form
from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.form.words import players_in_words, say_notes, setting_in_words, tuning_in_words
from groove.sound.options import AudioOptions, Names, unheeded, wanted
from groove.wording import counted

if TYPE_CHECKING:
    from groove.band.part import Part
    from groove.band.take import Take
    from groove.form.chart import Chart
    from groove.sound.kept_parts import KeptParts
    from groove.sound.report import Report
    from groove.sound.synth.soundfonts import Given

PLOTS = (".png", ".svg")


def compile_take(form: Form, *, straight_notes: bool = False) -> Take:
    """The take of a form: its chart, played by the band, with touch.

    straight_notes: without swing and touch, each note where it is written.

    >>> [part.name for part in compile_take(read_form("twelve-bar")).parts]
    ['drums', 'bass', 'comping']
    """
    from groove.band.take import planned, play, record

    plan = planned(unroll(form))
    return record(plan, play(plan, solo=solo_of(plan.chart)), straight=straight_notes)


def solo_of(chart: Chart) -> Part | None:
    """The solo that a chart's form asks for, as the band takes it; None if it asks for none."""
    if chart.form.lesson.solo == "none":
        return None
    from groove.lesson.solo.part import solo_part

    return solo_part(chart)


def make(
    form: Form | str | Path,
    folder: str | Path = ".",
    *,
    audio: Names | None = None,
    soundfont: Given = None,
    plot: str | Path | None = None,
    straight_notes: bool = False,
    say: Callable[[str], None] = lambda line: None,
    progress: Callable[[float], None] | None = None,
    report: Callable[[Report], None] | None = None,
    kept: KeptParts | None = None,
    **options: Unpack[AudioOptions],
) -> list[Path]:
    """Write the MIDI file of a form and, if asked, its audio.

    form: a Form, or what read_form takes. audio: formats of ``wav``, ``flac``, ``mp3`` and
    ``ogg``, in a list or with commas between them. soundfont: a file that plays in place of
    groove's own, ``drums=FILE`` for one player, or a list of these. plot: a ``.png`` or ``.svg``
    file to draw the take into. straight_notes: the MIDI file without swing and touch, for notation
    programs; the audio keeps them. say: called with each line that the reader should know.
    progress: called with the share of the audio that is done, 0 to 1. report: called with the facts
    of the audio, which is measured for it even if no file of it is asked for. kept: parts of tracks
    made before, which are not played again where they are the same. options: of audio, see
    groove.sound.options.Wanted.

    Returns the paths written: the MIDI file, the mix, the mixes without a part, the stems, the
    plot. Raises GrooveError; then nothing has been written.
    """
    from groove.sound.midi import midi_file
    from groove.sound.mix.asked_mix import for_a_file, settings_of

    asked = wanted(audio, options)
    picture = _picture(plot)
    if not isinstance(form, Form):
        form = read_form(form)
    prefix = Path(folder) / file_stem(form)
    target = Path(f"{prefix}.mid")
    try_targets([target, *picture])
    sounds = bool(asked.formats or report)
    fonts = None
    if sounds or soundfont is not None:
        from groove.sound.synth.soundfonts import find_fonts

        fonts = find_fonts(soundfont, os.environ)
    if fonts and sounds:
        from groove.sound.synth.synth import require_memory

        require_memory(fonts)
    if fonts and not sounds:
        say("note: a soundfont is for audio, and no audio was asked for")
    take = compile_take(form)
    players = [part.name for part in take.parts]
    for line in unheeded(asked, options, sounds=sounds, players=players):
        say(f"note: {line}")
    say_notes(form, say)
    midi = midi_file(take)
    files = []
    if sounds:
        from groove.sound.audio import render
        from groove.sound.files.tags import tags_of
        from groove.sound.job import AudioJob
        from groove.sound.mixes import audio_files
        from groove.sound.synth.covering import covered, played_in
        from groove.sound.synth.scores import parts_of

        files = audio_files(prefix, parts_of(midi), asked) if asked.formats else []
    targets = [target, *(file.path for file in files)]
    with written_together(targets + picture, say) as together:
        staged, drawn = together[: len(targets)], together[len(targets) :]
        for path in drawn:
            from groove.plot import draw_roll

            draw_roll(take, path)
        written = compile_take(form, straight_notes=True) if straight_notes else take
        midi_file(for_a_file(written)).save(staged[0])
        if fonts and sounds:
            covering = covered(fonts, played_in(take))
            fonts = covering.fonts
            say(f"soundfont: {fonts}")
            for note in covering.notes:
                say(f"note: {note}")
            job = AudioJob(
                midi,
                fonts,
                [replace(file, path=path) for file, path in zip(files, staged[1:], strict=True)],
                asked,
                settings_of(take.chart),
                loop=_loop(take),
                tags=lambda mix: tags_of(form, mix.label, fonts),
                measured=report is not None,
                missing=covering.missing,
                kept=kept,
            )
            facts = render(job, progress)
            if facts.short:
                say(
                    f"note: the audio is {facts.short:.1f} LU softer than asked for: its strokes "
                    "stand out too far to be any louder under the ceiling"
                )
            if report:
                report(facts)
    return targets + picture


def _picture(plot: str | Path | None) -> list[Path]:
    """The file of a plot, none if none is asked for; GrooveError for a kind we don't draw."""
    if plot is None:
        return []
    if Path(plot).suffix.lower() not in PLOTS:
        raise OptionError(
            "plot", f"found {str(plot)!r}; a file that ends in .png or .svg is allowed"
        )
    return [Path(plot)]


def _loop(take: Take) -> tuple[int, int] | None:
    """Start and end in ticks of the loop, where the ending is one."""
    return (take.chart.start, take.chart.end) if take.chart.loops else None


def summary(form: Form) -> str:
    """A form in one line: size, key, tempo, length and players."""
    chart = unroll(form)
    seconds = round(chart.seconds(chart.end))
    choruses = f"{counted('numbers', 'choruses', form.choruses)}, "
    return (
        f"{form.title}: {setting_in_words(form, chart)}, {'' if form.order else choruses}"
        f"{seconds // 60}:{seconds % 60:02}{tuning_in_words(form)}; {players_in_words(form)}"
    )
