"""The named parts of a lesson sheet: which ones a learner gets, and in which order."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from groove.errors import GrooveError, quoted
from groove.form.lesson_fields import ADVANCED
from groove.form.model import Form
from groove.wording import words_of


def blocks_of(form: Form, instrument: str) -> tuple[str, ...]:
    """The parts of a form's sheet in their order: those that it names, else its learner's.

    instrument: one of groove.lesson.request.INSTRUMENTS. Raises GrooveError for lists in
    ``patterns/lesson/blocks.toml`` that name a part that is not there.
    """
    if form.lesson.blocks:
        return form.lesson.blocks
    data = words_of("blocks")
    names = list(_listed(data, form.lesson.learner))
    if form.lesson.learner != ADVANCED:
        names = [name for name in names if instrument in data["only"].get(name, [instrument])]
    if form.by_section and {"keys", "sections"} <= set(names):
        names.remove("keys")
        names.insert(names.index("sections") + 1, "keys")
    return tuple(names)


def heading_of(name: str) -> str:
    """The heading of a part."""
    return str(words_of("blocks")["blocks"][name])


def _listed(data: Mapping[str, Any], learner: str) -> list[str]:
    names: list[str] = data["learners"][learner]
    for name in names:
        if name not in data["blocks"]:
            raise GrooveError(f"patterns/lesson/blocks: {learner}: there is no part {quoted(name)}")
    return names
