"""What is worth knowing about the audio of a track, for people and as JSON."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True)
class Report:
    """The audio of a track, measured on its mix as it is written.

    loudness: integrated, in LUFS, and its range in LU; true_peak: dBTP. gain: what was added to
    the synthesiser's own level, dB. limiter: the most by which the limiter on the mix lowered the
    level, dB; part_limiters: the same for those on parts. comping_share: of the band's energy
    between 300 Hz and 3 kHz, 0 to 1. missing: programs and drum kits that the soundfont lacks.
    """

    seconds: float
    parts: tuple[str, ...]
    loudness: float
    true_peak: float
    loudness_range: float
    gain: float
    limiter: float
    part_limiters: dict[str, float]
    comping_share: float
    soundfont: str
    licence: str
    missing: tuple[str, ...] = ()

    def lines(self) -> list[str]:
        """For people, a line for each thing."""
        minutes, seconds = divmod(round(self.seconds), 60)
        return [
            f"length: {minutes}:{seconds:02}",
            f"parts: {', '.join(self.parts)}",
            f"loudness: {self.loudness:.1f} LUFS",
            f"loudness range: {self.loudness_range:.1f} LU",
            f"true peak: {self.true_peak:.1f} dBTP",
            f"limiter: {self.limiter:.1f} dB at most",
            f"comping: {self.comping_share:.0%} of the sound between 300 Hz and 3 kHz",
            f"soundfont: {self.soundfont}",
            f"licence: {self.licence}",
        ]

    def facts(self) -> dict[str, Any]:
        """For programs: every field by its name, numbers rounded to what can be heard."""
        return {name: _rounded(value) for name, value in asdict(self).items()}


def _rounded(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _rounded(each) for name, each in value.items()}
    return round(value, 3) if isinstance(value, float) else value
