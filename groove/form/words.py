"""What a form's choruses go through, in words: keys, tempi and tuning."""

from __future__ import annotations

from typing import TYPE_CHECKING

from groove.form.model import USUAL_A4

if TYPE_CHECKING:
    from groove.form.chart import Chart
    from groove.form.model import Form


def keys_in_words(chart: Chart) -> str:
    """The key of the form, then those that follow: ``C major, then F Bb``."""
    keys = list(dict.fromkeys(chorus.key.symbol for chorus in chart.choruses))
    more = f", then {' '.join(keys[1:])}" if len(keys) > 1 else ""
    return f"{chart.choruses[0].key}{more}"


def tempi_in_words(chart: Chart) -> str:
    """The tempo of the first chorus, and of the last where that is another: ``64 to 75``."""
    first, last = chart.choruses[0].tempo, chart.choruses[-1].tempo
    return f"{first:g} to {last:g}" if last != first else f"{first:g}"


def tuning_in_words(form: Form) -> str:
    """``, A at 442 Hz``, or nothing where it is the usual one."""
    return "" if form.a4 == USUAL_A4 else f", A at {form.a4:g} Hz"
