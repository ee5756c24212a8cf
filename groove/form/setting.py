"""The setting of a stretch of the road: metre, tempo, feel and the patterns that are played.

A section's fields stand above the form's, a line's above both. A drum pattern brings its feel and
metre; bass and comping follow it unless the file names them and they fit.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import Any

from groove.form import style
from groove.form.model import Form, Own
from groove.rhythm.kit import kit_name
from groove.rhythm.meter import Meter, seconds_to_ticks
from groove.rhythm.patterns import BassPattern, CompingPattern, DrumPattern
from groove.rhythm.pulse import paced
from groove.rhythm.regroup import in_meter

SLOWEST, FASTEST = 20.0, 400.0  # beats a minute that a scaled tempo is held within
_STYLE = ("drums", "bass", "comping", "meter", "feel", "swing_ratio")
_PLAYERS = ("bass", "comping")
# What a field of an inner layer replaces of the outer ones.
_REPLACES = {
    "drums": ("meter", "feel", "swing_ratio"),
    "meter": ("drums", "feel", "swing_ratio"),
    "feel": ("swing_ratio",),
}


@dataclass(frozen=True)
class Setting:
    """Metre, tempo in felt beats a minute, feel, swing ratio, patterns and instruments.

    comping: one or two patterns, at most one of a guitar and one of keys. percussion: names.
    instruments: player and General MIDI name, of the drums a kit's. pulse: ``half``, ``double`` or
    empty.
    """

    meter: Meter
    tempo: float
    feel: str
    swing_ratio: float
    drums: DrumPattern
    bass: BassPattern
    comping: tuple[CompingPattern, ...]
    percussion: tuple[str, ...] = ()
    instruments: tuple[tuple[str, str], ...] = ()
    pulse: str = ""

    @cached_property
    def kit(self) -> str:
        """The drum kit, in KITS: the one that is asked for, else the pattern's own."""
        return kit_name(dict(self.instruments).get("drums", self.drums.kit))

    @cached_property
    def ticks_per_ms(self) -> float:
        """Ticks of a millisecond."""
        return seconds_to_ticks(0.001, self.tempo, self.meter)

    @cached_property
    def rate(self) -> float:
        """Ticks a minute."""
        return self.tempo * self.meter.beat_ticks


def in_odd_bar(setting: Setting, meter: Meter) -> Setting:
    """The setting in one bar of another metre: its patterns cut or filled, its notes as fast."""
    return setting if meter is setting.meter or meter == setting.meter else _cut(setting, meter)


@lru_cache(maxsize=64)
def _cut(setting: Setting, meter: Meter) -> Setting:
    return replace(
        setting,
        meter=meter,
        tempo=setting.rate / meter.beat_ticks,
        drums=in_meter(setting.drums, meter),
        bass=in_meter(setting.bass, meter),
        comping=tuple(in_meter(pattern, meter) for pattern in setting.comping),
    )


class Settings:
    """The settings of a form's sections and lines; equal ones are one object.

    Errors of `of` are StyleErrors with the field that is at fault.
    """

    def __init__(self, form: Form) -> None:
        self._form = form
        self._known: dict[tuple[Own, Own, float], Setting] = {}
        self._equal: dict[Setting, Setting] = {}

    def of(self, line: Own, section: Own, tempo: float) -> Setting:
        """The setting of a section in a line; tempo: that of the time round, in home's beats."""
        key = line, section, tempo
        if key not in self._known:
            found = self._found(line, section, tempo)
            self._known[key] = self._equal.setdefault(found, found)
        return self._known[key]

    def _found(self, line: Own, section: Own, tempo: float) -> Setting:
        form = self._form
        decided = self._decided(line, section)
        drums: DrumPattern = decided["drums"]
        tempo = self._tempo(line, section, tempo, decided["meter"])
        ratio = decided["swing_ratio"]
        if ratio is None:
            ratio = style.swing_ratio(decided["feel"], style.swing_tempo(drums, tempo))
        pulse = _innermost("pulse", line, section, form.own) or ""
        try:
            drums, bass = paced(drums, pulse), paced(decided["bass"], pulse)
            comping = tuple(paced(pattern, pulse) for pattern in decided["comping"])
        except ValueError as error:
            raise style.StyleError("pulse", str(error)) from None
        percussion = _innermost("percussion", line, section, form.named)
        instruments: dict[str, str] = {}
        for own in (form.own, section, line):
            instruments |= dict(own.get("instrument", ()))
        return Setting(
            decided["meter"], tempo, decided["feel"], ratio, drums, bass, comping,
            drums.percussion if percussion is None else percussion,
            tuple(sorted(instruments.items())), pulse,
        )  # fmt: skip

    def _decided(self, line: Own, section: Own) -> dict[str, Any]:
        """Metre, feel and patterns, and the swing ratio that is asked for, or None."""
        form = self._form
        given = [{f: v for f, v in own.fields if f in _STYLE} for own in (section, line)]
        if not any(given):
            fixed = None if form.swing_follows_tempo else form.swing_ratio
            return {
                "meter": form.meter, "feel": form.feel, "swing_ratio": fixed, "drums": form.drums,
                "bass": form.bass, "comping": form.comping,
            }  # fmt: skip
        values = dict(form.named.fields)
        inherited = {player for player in _PLAYERS if player in values}
        for own in given:
            if "meter" in own and "drums" not in own and values.get("meter") == own["meter"]:
                own = {field: value for field, value in own.items() if field != "meter"}
            for field in own:
                for outer in _REPLACES.get(field, ()):
                    values.pop(outer, None)
            for player in _PLAYERS:
                if player in own:
                    inherited.discard(player)
                    values.pop(player, None)
            values |= {field: value for field, value in own.items() if value is not None}
        return style.complete(values, inherited) | {"swing_ratio": values.get("swing_ratio")}

    def _tempo(self, line: Own, section: Own, tempo: float, meter: Meter) -> float:
        home = self._form.meter.beat_ticks
        if "tempo" in line:
            found = tempo
        elif "tempo" in section:
            found = section.get("tempo") * tempo / self._form.written_tempo
        else:
            old, new = section.get("beat", (1, 1))
            if (old, new) == (0, 0):
                found = tempo
            else:
                found = tempo if (old, new, meter.beat_ticks) == (1, 1, home) else (
                    tempo * home / old * new / meter.beat_ticks
                )  # fmt: skip
        return max(SLOWEST, min(FASTEST, found)) if found != tempo else found


def _innermost(field: str, *layers: Own) -> Any:
    """The value of a field in the first layer that has it; None if none has."""
    return next((own.get(field) for own in layers if field in own), None)
