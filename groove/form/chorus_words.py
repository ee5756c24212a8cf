"""Changes of key and tempo from chorus to chorus, in words for a chart in the first key."""

from __future__ import annotations

from groove.form.choruses import in_chorus
from groove.form.model import Form
from groove.form.readers import Reader
from groove.theory.symbols import key_name
from groove.wording import in_figures, said, words_of


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
    return tuple(key_name(key) for key in keys)


def _keys(form: Form, reader: Reader) -> tuple[str, ...]:
    names = keys_in_order(form, reader)
    if not names:
        return ()
    round_once = list(dict.fromkeys(names))
    keys = str(words_of("language")["named"]["between"]).join(round_once)
    if len(names) > len(round_once):
        keys = said("form", "course.again", keys=keys)
    way = "leading" if form.turnaround else "written"
    return (
        said("form", f"course.{form.key_cycle}", keys=keys),
        said("form", f"course.{way}", first=names[0], second=names[1], last=names[-1]),
    )


def _tempi(form: Form) -> tuple[str, ...]:
    if not form.tempo_step:
        return ()
    how = "faster" if form.tempo_step > 0 else "slower"
    last = in_chorus(form, form.choruses - 1).tempo
    step = in_figures(abs(form.tempo_step))
    names = {"tempo": in_figures(form.tempo), "step": step, "end": in_figures(last)}
    return (said("form", f"course.{how}", **names),)
