"""Renders forms and MIDI files with the program of one checkout, for the measuring code of another.

Run as a script with the checkout to measure on ``PYTHONPATH``; imports nothing of `tests`. Reads
requests from standard input, one JSON object a line, and answers each with one line on standard
output: the facts of the audio's report, or ``{"error": ...}``. A request is either

``{"form": {field: value}, "folder": ..., "soundfont": ..., "options": {...}}``: a form made whole,
as ``groove make`` makes it; without audio options only the report; or

``{"midi": ..., "folder": ..., "soundfont": ..., "drums": ..., "plain": ..., "loudness": ...}``:
the stems of a MIDI file with the mix settings and the room of the band of a drum pattern; plain:
without balance, compressors and weights of velocities, so that nothing follows the level.
"""

from __future__ import annotations

import json
import os
import sys
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

STEMS = {"stems": True, "bits": 24}


def form_made(request: dict[str, Any]) -> dict[str, Any]:
    """The report on a form, and its files where options ask for audio."""
    import groove

    found: list[Any] = []
    groove.make(
        form_of(request["form"]),
        request["folder"],
        soundfont=request.get("soundfont"),
        report=found.append,
        **request.get("options", {}),
    )
    return dict(found[0].facts())


def midi_made(request: dict[str, Any]) -> dict[str, Any]:
    """The report on the stems of a MIDI file."""
    import mido

    from groove.rhythm.patterns import drum_pattern
    from groove.sound.audio import render
    from groove.sound.job import AudioJob
    from groove.sound.mix.mix_settings import mix_settings_of
    from groove.sound.mixes import audio_files
    from groove.sound.options import wanted
    from groove.sound.synth.scores import parts_of

    midi = mido.MidiFile(request["midi"])
    drums = drum_pattern(request["drums"])
    settings = mix_settings_of(drums)
    if request.get("plain"):
        settings = replace(settings, balance={}, weight={}, kit={}, compressors={})
    asked = wanted("wav", {**STEMS, "loudness": request.get("loudness", -24.0)})
    files = audio_files(Path(request["folder"]) / "track", parts_of(midi), asked)
    names = {field.name for field in fields(AudioJob)}
    job = AudioJob(
        midi=midi,
        files=files,
        asked=asked,
        settings=settings,
        **_fonts(request.get("soundfont"), names),
        **_reverb(drums, names),
    )
    return dict(render(job).facts())


def _fonts(given: str | None, names: set[str]) -> dict[str, Any]:
    """The field of a job that says what it is played with."""
    from groove.sound.synth import soundfonts

    path = Path(given) if given else None
    if "fonts" in names:
        return {"fonts": soundfonts.find_fonts(path, os.environ)}
    return {"soundfont": soundfonts.find_soundfont(path, os.environ)}


def _reverb(drums: Any, names: set[str]) -> dict[str, Any]:
    """The field of a job for a reverb, where the mix settings have no room."""
    if "reverb" not in names:
        return {}
    from groove.sound.synth.reverbs import reverb_of

    return {"reverb": reverb_of(drums)}


def form_of(wanted: dict[str, Any]) -> Any:
    """Twelve bars with a drum pattern at the middle of its tempi, or what else is wanted."""
    import groove
    from groove.rhythm.patterns import drum_pattern

    pattern = drum_pattern(wanted["drums"])
    low, high = pattern.tempo
    usual = {
        "meter": str(pattern.grid.meter),
        "feel": pattern.grid.feel,
        "tempo": (low + high) // 2,
        "choruses": 1,
        "seed": 1,
    }
    return groove.read_form("twelve-bar", **(usual | wanted))


def answered(request: dict[str, Any]) -> dict[str, Any]:
    """The answer to a request."""
    Path(request["folder"]).mkdir(parents=True, exist_ok=True)
    try:
        return form_made(request) if "form" in request else midi_made(request)
    except Exception as error:
        return {"error": f"{type(error).__name__}: {error}"}


def main() -> None:
    for line in sys.stdin:
        print(json.dumps(answered(json.loads(line))), flush=True)


if __name__ == "__main__":
    main()
