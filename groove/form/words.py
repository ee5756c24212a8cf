"""A form in words: its length, keys, tempi, feel and players."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from groove import library
from groove.form.harmony import key_in_words
from groove.form.model import USUAL_A4, Form
from groove.theory.pitch import plain_signs

if TYPE_CHECKING:
    from groove.form.chart import Chart


def say_notes(form: Form, say: Callable[[str], None]) -> None:
    """Call `say` with a line for each note that was made when the form was read."""
    for note in form.notes:
        say(f"note: {note}")


def setting_in_words(form: Form, chart: Chart) -> str:
    """``12 bars of 4/4 in C blues, then F Bb, swing (1.8:1) at 112 to 120``."""
    bars = "1 bar" if form.bars == 1 else f"{form.bars} bars"
    swing = "" if form.swing_ratio == 1 else f" ({form.swing_ratio:.2g}:1)"
    return (
        f"{bars} of {form.meter} in {keys_in_words(chart)}, "
        f"{form.feel}{swing} at {tempi_in_words(chart)}"
    )


def players_in_words(form: Form) -> str:
    """``drums Rumba blues, bass Tumbao, comping Montuno``: the titles of the patterns."""
    comping = " and ".join(pattern.title for pattern in form.comping)
    return f"drums {form.drums.title}, bass {form.bass.title}, comping {comping}"


def keys_in_words(chart: Chart) -> str:
    """The key of the form, then those that follow: ``C blues, then F Bb``."""
    keys = list(dict.fromkeys(chorus.key.symbol for chorus in chart.rounds))
    more = f", then {' '.join(keys[1:])}" if len(keys) > 1 else ""
    return plain_signs(key_in_words(chart.form)) + more


def tempi_in_words(chart: Chart) -> str:
    """The tempo of the first chorus, and of the last where that is another: ``64 to 75``."""
    first, last = chart.rounds[0].tempo, chart.rounds[-1].tempo
    return f"{first:g} to {last:g}" if last != first else f"{first:g}"


def tuning_in_words(form: Form) -> str:
    """``, A at 442 Hz``, or nothing where it is the usual one."""
    return "" if form.a4 == USUAL_A4 else f", A at {form.a4:g} Hz"


def feel_words(form: Form) -> str:
    """The pace and the feel for the head of a part: ``Medium swing``, ``Slow 12/8``.

    The words are in ``patterns/lesson/feel.toml``.
    """
    data = library.load("lesson", "feel")
    paces = data["pace"]["compound" if form.meter.is_compound else form.feel]
    pace = next((word for below, word in paces if form.tempo < below), paces[-1][1])
    own = data["styles"] if form.drums.grid.feel == form.feel else {}
    if form.meter.is_compound:
        return f"{pace} {form.meter}"
    if form.drums.name in own:
        style = str(own[form.drums.name])
        if form.drums.name in data["felt_in_two"]["patterns"]:
            return style[0].upper() + style[1:]
        return f"{pace} {style}"
    if _swings_sixteenths(form) and form.feel != "straight":
        return f"{pace} {form.feel}, in sixteenths"
    return f"{pace} {data['feels'][form.feel]}"


def _swings_sixteenths(form: Form) -> bool:
    return form.drums.swing_ticks < form.meter.beat_ticks
