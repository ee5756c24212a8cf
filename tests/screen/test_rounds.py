"""The names of the times round a form, as they stand under the heights."""

from __future__ import annotations

import pytest

from groove.form.unroll import unroll
from groove.screen.rounds import rounds_of
from tests.form.road_material import arranged


@pytest.mark.parametrize(
    ("sections", "order", "name"),
    [
        ("AB", "A, A, B, A", "A A B A"),
        ("AB", "A x2, B, A, A x2, B, A, B", "A A B A A A B A …"),
        (["Verse", "Chorus"], "Verse, Chorus", "Verse, Chorus"),
        (["Verse", "Chorus"], "Verse, Verse, Chorus", "Verse, Verse …"),
        (["The very longest verse", "B"], "The very longest verse, B", "The very longest verse …"),
    ],
)
def test_a_line_without_a_name_is_called_by_what_it_plays(
    sections: list[str], order: str, name: str
) -> None:
    written = [{"name": each, "chords": "I:2"} for each in sections]
    form = arranged(key="C", sections=written, order=[order, {"play": order, "as": "solos"}])
    assert [each["name"] for each in rounds_of(form, unroll(form))] == [name, "solos"]
