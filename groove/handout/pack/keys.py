"""Reads the keys and tempos asked for, and moves the form to each of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from groove.errors import OptionError
from groove.form import choruses, style
from groove.form.build import begun_and_ended
from groove.form.fields import FIELDS
from groove.form.model import MOST_MINUTES, Form
from groove.form.unroll import length
from groove.theory.keys import Key, twelve_keys

ALL = "all"
KEYS_ALLOWED = "all, or a list as in C,F,Bb, is allowed"
MOST_TRACKS = 5000


def read_keys(asked: str | Iterable[str], home: Key) -> tuple[Key, ...]:
    """The keys that are asked for, from C up by semitones, each once.

    asked: ``"all"``, or keys in a list or with commas between them; a bare tonic has the mode of
    `home`. Raises OptionError for a word that is no key.
    """
    words = _words(asked)
    if [word.lower() for word in words] == [ALL]:
        return twelve_keys(home)
    keys = []
    for word in words:
        try:
            keys.append(Key.parse(word, home.mode))
        except ValueError as error:
            raise OptionError("keys", f"{error}; {KEYS_ALLOWED}") from None
    if not keys:
        raise OptionError("keys", f"found none; {KEYS_ALLOWED}")
    return tuple(sorted(dict.fromkeys(keys), key=lambda key: (key.tonic.pitch_class, str(key))))


def usual_keys(form: Form) -> str:
    """The keys of a pack where none are asked for: all, or a track's own where it plays in all
    twelve by itself, so that others would be the same rounds begun elsewhere."""
    played = {choruses.in_chorus(form, n).key.tonic.pitch_class for n in range(form.choruses)}
    return form.key.symbol if len(played) == choruses.ROUND else ALL


def read_tempos(asked: str | float | Iterable[str | float], usual: float) -> tuple[float, ...]:
    """The tempos that are asked for, the slowest first; `usual` where none is. Two that would have
    the same name are one.

    asked: felt beats a minute, in a list or with commas between them. Raises OptionError for a word
    that is no tempo or out of range.
    """
    tempos: dict[str, float] = {}
    for word in _words([asked] if isinstance(asked, int | float) else asked):
        try:
            tempo = float(FIELDS["tempo"].read(word))
        except ValueError as error:
            raise OptionError("tempos", f"{error}") from None
        tempos.setdefault(f"{tempo:g}", tempo)
    return tuple(sorted(tempos.values())) or (usual,)


def _words(asked: str | Iterable[str | float]) -> list[str]:
    given = [asked] if isinstance(asked, str) else asked
    words = [word.strip() for each in given for word in f"{each}".split(",")]
    return [word for word in words if word]


def in_keys(
    form: Form, keys: Sequence[Key], tempos: Sequence[float]
) -> tuple[tuple[Form, ...], ...]:
    """The form in each of the keys, at each of the tempos. Raises OptionError where it can't be."""
    many = len(keys) * len(tempos)
    if many > MOST_TRACKS:
        raise OptionError(
            "tempos",
            f"{len(keys)} keys at {len(tempos):,} tempos are {many:,} tracks; "
            f"at most {MOST_TRACKS:,} are allowed",
        )
    return tuple(tuple(at(form, key, tempo) for tempo in tempos) for key in keys)


def at(form: Form, key: Key, tempo: float) -> Form:
    """The form in a key and at a tempo. Raises OptionError where it gets too long or too fast."""
    if (key, tempo) == (form.key, form.tempo):
        return form
    moved = replace(choruses.at(form, key, tempo), notes=())
    try:
        choruses.check(moved)
        moved = begun_and_ended(moved)
    except style.StyleError as error:
        raise OptionError("tempos", f"{tempo:g}: {error}") from None
    minutes = length(moved) / 60
    if minutes > MOST_MINUTES:
        raise OptionError(
            "tempos",
            f"at {tempo:g} the track lasts {minutes:.0f} minutes; at most {MOST_MINUTES} "
            "are allowed",
        )
    return moved
