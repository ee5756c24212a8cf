"""The report on a track's audio: levels, gains and soundfont, for people and as JSON."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

JSON_NAMES = {"levels": "heard"}
"""Fields whose name in JSON is another, which programs already read."""


@dataclass(frozen=True)
class MixLevels:
    """The levels of a mix as written: loudness in LUFS, its range in LU, true peak in dBTP."""

    loudness: float
    loudness_range: float
    true_peak: float


@dataclass(frozen=True)
class Report:
    """The audio of a track.

    levels: of the main mix. comping_share: of the band's energy between 300 Hz and 3 kHz, 0 to 1.
    Both are None unless a report was asked for, the share also where the mix has no comping.
    played: the loudness of each part before its compressor and fader, LUFS, estimated.
    gain: added to the synthesiser's own level, dB. short: by how many LU the band stays below the
    loudness asked for. faders: by how many dB each part was moved for the balance and by its
    form's level; compressors: the most by which the one on a part lowers it, dB. limiter: the most
    by which the limiter on the mix lowers the level, dB; part_limiters: the same for those on parts
    of it. together: the most by which limiters lower a part at one moment, its own and that on the
    mix. credits: the words for whoever posts it. missing: instruments, kits and strokes that no
    soundfont has, for which others stand in.
    """

    seconds: float
    parts: tuple[str, ...]
    levels: MixLevels | None
    comping_share: float | None
    gain: float
    short: float
    played: dict[str, float]
    faders: dict[str, float]
    compressors: dict[str, float]
    limiter: float
    part_limiters: dict[str, float]
    together: float
    soundfont: str
    licence: str
    credits: str = ""
    missing: tuple[str, ...] = ()

    def lines(self) -> list[str]:
        """The report for people, a line for each fact."""
        minutes, seconds = divmod(round(self.seconds), 60)
        limited = _by_part(self.part_limiters)
        pressed = _by_part({part: most for part, most in self.compressors.items() if most})
        on_parts = f"; on parts: {limited}; together {self.together:.1f} dB at the worst moment"
        lines = [f"length: {minutes}:{seconds:02}", f"parts: {', '.join(self.parts)}"]
        if self.levels:
            lines += [
                f"loudness: {self.levels.loudness:.1f} LUFS",
                f"loudness range: {self.levels.loudness_range:.1f} LU",
                f"true peak: {self.levels.true_peak:.1f} dBTP",
            ]
        lines += [f"faders: {_by_part(self.faders, '+.1f')} dB"]
        lines += [f"compressors: {pressed} dB at most"] if pressed else []
        lines += [f"limiter: {self.limiter:.1f} dB at most{on_parts * bool(limited)}"]
        if self.comping_share is not None:
            lines += [f"comping: {self.comping_share:.0%} of the sound between 300 Hz and 3 kHz"]
        lines += [f"soundfont: {self.soundfont}", f"licence: {self.licence}"]
        return [*lines, *([f"credits: {self.credits}"] if self.credits else [])]

    def facts(self) -> dict[str, Any]:
        """The report for programs: every field by its name in JSON, numbers to three places."""
        facts = asdict(self)
        return {JSON_NAMES.get(name, name): _rounded(value) for name, value in facts.items()}


def _by_part(figures: dict[str, float], form: str = ".1f") -> str:
    return ", ".join(f"{part} {figure:{form}}" for part, figure in figures.items())


def _rounded(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _rounded(each) for name, each in value.items()}
    return round(value, 3) if isinstance(value, float) else value
