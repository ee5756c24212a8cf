"""Render a MIDI file as `groove make --audio wav --stems --bits 24` does: the mix and its stems.

Run as ``python -m tests.bench.render_midi FILE.mid SOUNDFONT FOLDER``; used by the bench
`faster_than_command`.
"""

import os
import sys

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command line does


def main() -> None:
    from pathlib import Path

    import mido

    from groove.rhythm.patterns import drum_pattern
    from groove.sound.audio import render
    from groove.sound.job import AudioJob
    from groove.sound.mix.mix_settings import mix_settings_of
    from groove.sound.mixes import audio_files
    from groove.sound.options import wanted
    from groove.sound.synth.reverbs import reverb_of
    from groove.sound.synth.scores import parts_of
    from groove.sound.synth.soundfonts import find_fonts

    path, soundfont, folder = map(Path, sys.argv[1:])
    midi = mido.MidiFile(path)
    asked = wanted("wav", {"stems": True, "bits": 24})
    files = audio_files(folder / path.stem, parts_of(midi), asked)
    fonts = find_fonts(soundfont, os.environ)
    drums = drum_pattern("rumba")
    reverb, settings = reverb_of(drums), mix_settings_of(drums)
    render(AudioJob(midi, fonts, files, asked, reverb, settings))


if __name__ == "__main__":
    main()
