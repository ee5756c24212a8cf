"""Edits of a form's text: what they change, and what they leave as it was."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from groove.form.unroll import unroll
from groove.screen.edits import edit_of
from groove.screen.form_text import EditError
from groove.screen.open_form import OpenForm
from groove.screen.pasted import pasted
from groove.screen.reading import read

FORM = """\
key = "F"
# How we play it.
order = [
    "A, B:2, A 2nd, Ab",  # the tune
    { play = "A x3",   as = "solos" },
]

[[sections]]
name = "A"
chords = "| F | C7 |"
[[sections]]
name = "B"
chords = "| Bb | % |"
"""


def edited(form: str, do: str, /, **asked: Any) -> str:
    return edit_of({"do": do, **asked})(form)


def test_a_bar_is_set_and_those_that_repeated_it_sound_as_before() -> None:
    text = 'key = "C"\nchords = "| C7 | % | F7 |"\n'
    found = edited(text, "bar", section=0, bar=0, text="G7")
    assert found == 'key = "C"\nchords = "| G7 | C7 | F7 |"\n'


def test_text_with_bar_lines_in_a_bar_becomes_several() -> None:
    found = edited('chords = "I7 IV7"', "bar", section=0, bar=1, text="V7 | IV7")
    assert found == 'chords = "| I7 | V7 | IV7 |"'


def test_an_order_keeps_spelling_and_comments_of_lines_that_stay() -> None:
    lines = ["A, B:2, A 2nd, Ab", "B", {"play": "A x3", "as": "solos"}]
    found = edited(FORM, "order", lines=lines)
    assert found == FORM.replace("# the tune\n", '# the tune\n    "B",\n')
    assert edited(found, "order", lines=[lines[0], lines[2]]) == FORM
    assert "# How we play it." in edited(FORM, "order", lines=["B"])
    assert "order" not in edited(FORM, "order", lines=[])


@pytest.mark.parametrize("comma", ["", ","])
def test_a_line_of_an_order_that_is_moved_keeps_spelling_and_comments(comma: str) -> None:
    head, tail = 'key = "F"\norder = [ # in all\n', '\n  # so far\n]\nchords = "F"\n'
    rows = ['  # The head.\n  "A, [A]",  # once, ', "  { play = 'A',  times = 2 },", "  'A'"]
    lines = ["A, [A]", {"play": "A", "times": 2}, "A"]
    form = head + "\n".join(rows) + comma + "  # last" + tail
    found = edited(form, "order", lines=[lines[2], lines[0], lines[1]])
    assert found == head + "\n".join([rows[2] + ",  # last", rows[0], rows[1]]) + tail
    again = edited(found, "order", lines=lines)
    assert again == head + "\n".join([rows[0], rows[1], rows[2] + ",  # last"]) + tail
    one_row = 'order = ["A, B", "B"]  # short\n'
    assert edited(one_row, "order", lines=["B", "A, B"]) == 'order = ["B","A, B"]  # short\n'


def test_a_field_more_goes_before_the_sections_where_lines_end_as_on_windows() -> None:
    form = FORM.replace("\n", "\r\n")
    without = edited(form, "order", lines=[])
    found = edited(without, "order", lines=["A, B"])
    assert found.index("order") < found.index("[[sections]]")


@pytest.mark.parametrize(
    ("written", "player", "value", "found"),
    [
        ("", "bass", "tuba", 'instrument = {bass = "tuba"}\n'),
        ('instrument = { bass = "tuba" }  # low\n', "bass", None, ""),
        (
            'instrument = { bass = "tuba" }  # low\n',
            "bass",
            "cello",
            'instrument = { bass = "cello" }  # low\n',
        ),
        (
            'instrument.bass = "tuba"  # low\n',
            "drums",
            "jazz kit",
            'instrument.bass = "tuba"  # low\ninstrument.drums = "jazz kit"\n',
        ),
    ],
)
def test_a_player_gets_another_instrument_and_the_others_keep_theirs(
    written: str, player: str, value: str | None, found: str
) -> None:
    text = 'key = "C"\n'
    assert edited(text + written, "instrument", player=player, value=value) == text + found


def test_several_fields_are_set_at_once() -> None:
    text = 'key = "C"\nfeel = "swing"  # as ever\nbass = "walking"\n'
    values = {"feel": None, "bass": None, "drums": "bossa"}
    assert edited(text, "fields", values=values) == 'key = "C"\ndrums = "bossa"\n'
    for wrong in (None, ["feel"], {"x y": "a"}, {"feel": ["a"]}):
        with pytest.raises(EditError):
            edited(text, "fields", values=wrong)


@pytest.mark.parametrize(
    ("written", "asked", "found"),
    [
        ("", {"name": "level", "player": "bass", "value": 3}, "levels = {bass = 3}\n"),
        ("", {"name": "place", "player": "bass", "value": -30}, 'places = {bass = "left 30"}\n'),
        (
            "levels = { bass = 2.5 }  # loud\n",
            {"name": "level", "player": "drums", "value": -2},
            "levels = { bass = 2.5, drums = -2}  # loud\n",
        ),
        ("levels = { bass = 3 }\n", {"name": "level", "player": "bass", "value": None}, ""),
    ],
)
def test_a_player_is_moved_in_the_mix(written: str, asked: dict[str, Any], found: str) -> None:
    text = 'key = "C"\n'
    assert edited(text + written, "mix", **asked) == text + found


@pytest.mark.parametrize(
    ("written", "player", "value", "found"),
    [
        ("comping = 3", "keys", None, {"guitar": 3}),
        ("comping = 3, keys = 1", "guitar", 2, {"keys": 1, "guitar": 2}),
        ("guitar = 3, bass = 1", "comping", 2, {"bass": 1, "comping": 2}),
    ],
)
def test_a_player_of_chords_is_moved_alone(
    written: str, player: str, value: int | None, found: dict[str, int]
) -> None:
    """What stands for both players of chords goes on to hold for the other one."""
    text = f"levels = {{ {written} }}\n"
    moved = edited(text, "mix", name="level", player=player, value=value)
    assert tomllib.loads(moved) == {"levels": found}


def test_levels_and_places_are_taken_out_of_all_or_of_one() -> None:
    text = 'levels = { bass = 3, drums = 1 }\nplaces = { bass = "left" }\nkey = "C"  # home\n'
    assert edited(text, "as-mixed") == 'key = "C"  # home\n'
    one = edited(text, "as-mixed", player="bass")
    assert "bass" not in one
    assert "drums = 1" in one


@pytest.mark.parametrize(
    "asked",
    [
        {"name": "level", "player": "harp", "value": 1},
        {"name": "level", "player": "bass", "value": 7},
        {"name": "level", "player": "bass", "value": True},
        {"name": "place", "player": "bass", "value": "left"},
        {"name": "tempo", "player": "bass", "value": 1},
    ],
)
def test_a_move_has_a_player_and_a_number_within_its_range(asked: dict[str, Any]) -> None:
    with pytest.raises(EditError):
        edited('key = "C"\n', "mix", **asked)


def test_an_instrument_has_a_player_and_a_name() -> None:
    for asked in ({"player": "tuba", "value": "x"}, {"player": "bass", "value": ["x"]}, {}):
        with pytest.raises(EditError):
            edited('key = "C"\n', "instrument", **asked)


def test_a_section_has_its_new_name_in_the_order_too() -> None:
    found = edited(FORM, "section-field", section=0, name="name", value="Verse")
    assert '"Verse, B:2, Verse 2nd, Ab",  # the tune' in found
    assert '{ play = "Verse x3",   as = "solos" }' in found


def test_a_new_field_of_a_section_stands_before_the_comment_on_the_next_one() -> None:
    form = FORM.replace('[[sections]]\nname = "B"', '\n# The bridge.\n[[sections]]\nname = "B"')
    found = edited(form, "section-field", section=0, name="key", value="D")
    assert found == form.replace('| C7 |"\n', '| C7 |"\nkey = "D"\n')


def test_chords_alone_become_a_section_when_they_get_a_name() -> None:
    found = edited(
        "key = 'C'\nchords = 'C7:4'\n", "section-field", section=0, name="name", value="V"
    )
    assert found == "key = 'C'\n\n[[sections]]\nname = \"V\"\nchords = 'C7:4'\n"


def test_an_order_begins_with_what_is_played_without_one() -> None:
    found = edited('choruses = 4\nkey_cycle = "up"\nchords = "I7:4"\n', "start-order")
    assert '{play = "Form", times = 4, key_cycle = "up"}' in found
    assert "choruses" not in found


@pytest.mark.parametrize(
    ("text", "sections"),
    [
        ("| C7 | F7 |\n| G7 | % |", {"": ["C7", "F7", "G7", "%"]}),
        ("Ferry\nin C\n\n  A\n‖:C7 | B♭7 :‖\n  B\n| G7 ‖", {"A": ["C7", "Bb7"] * 2, "B": ["G7"]}),
        ("I7:2 IV7:2", {"": ["I7", "%", "IV7", "%"]}),
        ("Am7 D7", {"": ["Am7 D7"]}),
    ],
)  # fmt: skip
def test_a_chart_is_pasted_as_text(text: str, sections: dict[str, list[str]]) -> None:
    assert dict(pasted(text)) == sections


def test_a_pasted_chart_replaces_bars_or_brings_its_sections() -> None:
    form = 'key = "C"\nchords = "| C7 | F7 | G7 |"\n'
    found = edited(form, "paste", section=0, bar=1, count=1, text="| D7 | E7 | A7 |")
    assert '"| C7 | D7 | E7 | A7 |"' in found
    found = edited(FORM, "paste", section=0, bar=0, count=1, text="C\n| D7 |")
    assert [line for line in found.splitlines() if "name" in line] == [
        'name = "A"', 'name = "C"', 'name = "B"',
    ]  # fmt: skip
    with pytest.raises(EditError, match="no bars"):
        edited(form, "paste", section=0, bar=0, count=1, text=" ")


def test_a_file_that_another_program_has_taken_away_is_written_anew(tmp_path: Path) -> None:
    path = tmp_path / "ferry.toml"
    opened = OpenForm.at(path, 'chords = "I7"\n')
    path.unlink()
    opened.take_from_disk()
    assert path.read_text() == 'chords = "I7"\n'


def test_a_file_with_a_mark_before_its_text_can_be_edited(tmp_path: Path) -> None:
    path = tmp_path / "ferry.toml"
    path.write_bytes('\ufeffchords = "I7"\r\n'.encode())
    opened = OpenForm.at(path, "")
    opened.edit(edit_of({"do": "field", "name": "tempo", "value": 90}), opened.version)
    assert path.read_bytes() == b'chords = "I7"\r\ntempo = 90\r\n'
    opened.undo(opened.version)
    assert path.read_bytes() == b'chords = "I7"\r\n'


def test_all_that_is_typed_into_a_bar_is_one_step(tmp_path: Path) -> None:
    path = tmp_path / "ferry.toml"
    form = FORM.replace("A, B:2, A 2nd, Ab", "A, B")
    path.write_text(form)
    opened = OpenForm.at(path, "")

    def typed(text: str) -> None:
        asked = {"do": "bar", "section": 1, "bar": 0, "text": text}
        opened.edit(edit_of(asked), opened.version, "typing")

    for text in ("G", "Gm", "Gm7"):
        typed(text)
    assert '"| Gm7 | Bb |"' in path.read_text()  # not G or Gm, though the bar after repeated it
    opened.undo(opened.version)
    assert path.read_text() == form
    assert not opened.can_undo
    typed("X")
    opened.edit(edit_of({"do": "nothing"}), opened.version, "typing")
    assert path.read_text() == opened.text == form
    assert not opened.can_undo
    assert not opened.draft.exists()


BY_BARS = """\
[[sections]]
name = "A"
chords = "| I | IV |"
time_bars = ["| V |", "| I |"]  # ends at home
kicks.1 = "x..x"  # with the push
kicks.2 = "X..."
"""


@pytest.mark.parametrize(
    ("name", "value", "before", "after"),
    [
        ("kicks", {"1": "x..x", "2": "...X"}, '"X..."', '"...X"'),
        ("kicks", {"1": "x..x"}, 'kicks.2 = "X..."\n', ""),
        ("time_bars", ["| V |", "| vi |"], '"| I |"]', '"| vi |"]'),
        ("time_bars", ["| V |"], ', "| I |"]', "]"),
    ],
)
def test_what_stays_of_a_list_or_a_table_keeps_its_spelling(
    name: str, value: object, before: str, after: str
) -> None:
    asked = {"do": "section-field", "section": 0, "name": name, "value": value}
    assert edit_of(asked)(BY_BARS) == BY_BARS.replace(before, after)


def test_a_line_of_the_order_may_say_something_bar_by_bar() -> None:
    text = 'order = [\n  { play = "A", tacet = "bass" },  # alone\n]\n'
    line = {"play": "A", "tacet": {"bass": True, "comping": "1-4"}, "kicks": {"2": "X..."}}
    changed = edit_of({"do": "order", "lines": [line]})(text)
    assert tomllib.loads(changed)["order"] == [line]
    assert "},  # alone" in changed


def test_a_field_has_no_more_entries_than_a_form_has_bars() -> None:
    value = {str(bar): "x..." for bar in range(1001)}
    with pytest.raises(EditError, match="up to 1,000 entries"):
        edit_of({"do": "field", "name": "kicks", "value": value})("")


TWO_A = """\
key = "Ab"

[[sections]]
name = "A"
chords = "| I7 | V7 |"

[[sections]]
name = "A"
chords = "| I7 | I7 |"

[[sections]]
name = "B"
chords = "| IV7 | IV7 |"

[[sections]]
name = "A"
"""


def test_an_order_of_sections_with_one_name_gives_each_its_own(tmp_path: Path) -> None:
    changed = edit_of({"do": "start-order"})(TWO_A)
    document = tomllib.loads(changed)
    assert document["order"] == [{"play": "A, A2, B, A2", "times": 3}]
    assert [each["name"] for each in document["sections"]] == ["A", "A2", "B"]
    assert read(changed, tmp_path / "ferry.toml").mistakes == ()
    before, after = (read(text, tmp_path / "ferry.toml").form for text in (TWO_A, changed))
    assert before
    assert after
    assert [[str(slot.chord) for slot in bar.slots] for bar in unroll(before).bars[:8]] == [
        [str(slot.chord) for slot in bar.slots] for bar in unroll(after).bars[:8]
    ]


def test_a_name_that_two_sections_have_is_not_changed_in_the_order() -> None:
    text = 'order = ["A, B, A"]\n' + TWO_A
    asked = {"do": "section-field", "section": 1, "name": "name", "value": "A2"}
    assert 'order = ["A, B, A"]' in edit_of(asked)(text)


@pytest.mark.parametrize(
    ("before", "typed", "after"),
    [
        ("| I7 | IV7 |", "Bbm7 Eb7", "| ii7 V7 | IV7 |"),
        ("| I7 | IV7 |", "~Eb7* Db/F", "| ~V7* IV/3 | IV7 |"),
        ("| I7 | IV7 |", "Bdim7", "| #iidim7 | IV7 |"),
        ("| Ab7 | Db7 |", "ii7:1/4 V7", "| Bbm7:1/4 Eb7 | Db7 |"),
        ("| Ab7 |", "I7", "| I7 |"),  # the only bar
        ("| I7 | IV7 |", "Hm7", "| Hm7 | IV7 |"),  # a mistake stays as it was typed
        ("| I7 | % |", "%", "| % | I7 |"),
    ],
)
def test_a_chord_is_written_as_the_others_are(before: str, typed: str, after: str) -> None:
    text = f'key = "Ab"\nchords = "{before}"\n'
    asked = {"do": "bar", "section": 0, "bar": 0, "text": typed}
    assert edit_of(asked)(text) == f'key = "Ab"\nchords = "{after}"\n'
