"""Changes of key and tempo from chorus to chorus, in words for a chart in the first key."""

from __future__ import annotations

from groove.form.choruses import in_chorus
from groove.form.model import Form
from groove.form.readers import Reader
from groove.theory.symbols import key_symbol

WAYS = {
    "fourths": "up a fourth",
    "fifths": "up a fifth",
    "up": "up a semitone",
    "down": "down a semitone",
}


def course_words(form: Form, reader: Reader) -> tuple[str, ...]:
    """Sentences on the keys and tempi after the first chorus.

    reader: keys are named as this reader writes them. Empty where nothing changes.
    """
    if form.choruses == 1:
        return ()
    return (*_keys(form, reader), *_tempi(form))


def keys_in_order(form: Form, reader: Reader) -> tuple[str, ...]:
    """The key of each chorus as a reader writes it; empty where it stays the same."""
    if form.key_cycle == "none" or form.choruses == 1:
        return ()
    keys = (reader.key(in_chorus(form, number).key) for number in range(form.choruses))
    return tuple(key_symbol(key) for key in keys)


def _keys(form: Form, reader: Reader) -> tuple[str, ...]:
    names = keys_in_order(form, reader)
    if not names:
        return ()
    round_once = list(dict.fromkeys(names))
    again = ", and round again" if len(names) > len(round_once) else ""
    leads = f", its turnaround leading to {names[1]}" if form.turnaround else ""
    return (
        f"Each chorus {WAYS[form.key_cycle]}: {' '.join(round_once)}{again}.",
        f"Written in {names[0]}{leads}; the end is in {names[-1]}.",
    )


def _tempi(form: Form) -> tuple[str, ...]:
    if not form.tempo_step:
        return ()
    how = "faster" if form.tempo_step > 0 else "slower"
    last = in_chorus(form, form.choruses - 1).tempo
    step = f"{abs(form.tempo_step):g} {how} each chorus"
    return (f"Tempo {form.tempo:g}, then {step}: {last:g} in the last.",)
