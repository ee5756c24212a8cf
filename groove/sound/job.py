"""An audio job: the music, its sound, and the files to write."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    import mido

    from groove.sound.files.tags import Tags
    from groove.sound.kept_parts import KeptParts
    from groove.sound.mix.mix_settings import MixSettings
    from groove.sound.mixes import AudioFile, Mix
    from groove.sound.options import Wanted
    from groove.sound.synth.soundfonts import Fonts


def _no_tags(_mix: Mix) -> None: ...


@dataclass(frozen=True)
class AudioJob:
    """The music to render and the files for it.

    files: all in one folder; none where only a report is wanted. loop: start and end of the loop
    in ticks. tags: the tags of a mix's files. measured: whether to measure the main mix for the
    report. missing: the sounds for which others stand in, for the report. kept: parts of earlier
    tracks, to be used where they are the same, and where this track's are kept.
    """

    midi: mido.MidiFile
    fonts: Fonts
    files: Sequence[AudioFile]
    asked: Wanted
    settings: MixSettings
    loop: tuple[int, int] | None = None
    tags: Callable[[Mix], Tags | None] = _no_tags
    measured: bool = False
    missing: tuple[str, ...] = ()
    kept: KeptParts | None = None
