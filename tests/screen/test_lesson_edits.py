"""Edits of a form's lesson: what they change in the file, and what they leave as it was."""

from __future__ import annotations

import random
import tomllib
from pathlib import Path
from typing import Any

import pytest

import groove
from groove.lesson.teacher_phrases import check_phrases
from groove.screen.edits import edit_of
from groove.screen.form_text import EditError
from groove.screen.open_form import OpenForm
from groove.screen.reading import read

FORM = """\
key = "A"  # for the horns
chords = "I7:4"
blocks = [
    "chart",  # as ever
    "plan",
]

# What I say on Thursday.
[remarks]
lesson = "Sing first."  # twice

# The one they like.
[[phrases]]
name  = "answer"  # theirs
notes = "3f5 3f7"

# The other.
[[phrases]]
name = "call"
notes = '2f5'
words = "Soft."
"""
PLAIN = 'key = "A"\nchords = "I7:4"\n'


def edited(form: str, do: str, /, **asked: Any) -> str:
    found = edit_of({"do": do, **asked})(form)
    assert read(found, Path("ferry.toml")).mistakes == ()
    return found


def test_parts_of_the_sheet_are_named_in_their_order_and_keep_their_comments() -> None:
    found = edited(FORM, "blocks", names=["scales", "chart"])
    assert found == FORM.replace('    "chart"', '    "scales",\n    "chart"').replace(
        '    "plan",\n', ""
    )
    assert edited(FORM, "blocks", names=[]) == FORM.replace(
        'blocks = [\n    "chart",  # as ever\n    "plan",\n]\n', ""
    )
    assert 'blocks = "plan, chart"' in edited(
        PLAIN + 'blocks = "chart"', "blocks", names=["plan", "chart"]
    )
    assert edited(PLAIN, "blocks", names=["plan"]) == PLAIN + 'blocks = [\n    "plan",\n]\n'


def test_headings_stand_in_a_table_that_goes_with_its_last_one() -> None:
    once = edited(PLAIN, "heading", part="plan", text="This week ")
    assert once == PLAIN + '\n[headings]\nplan = "This week"\n'
    twice = edited(once, "heading", part="chart", text='The "tune"')
    assert twice == once + 'chart = "The \\"tune\\""\n'
    assert edited(twice, "heading", part="chart", text="") == once
    assert edited(once, "heading", part="plan", text=" ").strip() == PLAIN.strip()


def test_remarks_on_the_lesson_alone_are_one_field() -> None:
    once = edited(PLAIN, "remark", place="lesson", text="Sing first.")
    assert once == PLAIN + 'remarks = "Sing first."\n'
    assert edited(once, "remark", place="lesson", text="") == PLAIN
    several = edited(once, "remark", place="lesson", text="Sing.\n\nThen play.")
    assert read(several, Path("f.toml")).form.lesson.remarks_at("") == ("Sing.", "Then play.")  # type: ignore[union-attr]
    listed = PLAIN + 'remarks = ["Sing.", "Play."]  # both\n'
    assert edited(listed, "remark", place="lesson", text="Sing.\n\nHum.") == listed.replace(
        "Play", "Hum"
    )


def test_remarks_on_parts_and_choruses_stand_in_a_table() -> None:
    found = edited(FORM, "remark", place="plan", text="Two steps a day.")
    assert found == FORM.replace("# twice\n", '# twice\nplan = "Two steps a day."\n')
    whole = PLAIN + 'remarks = "Sing."\n'
    found = edited(whole, "remark", place="chorus 2", text="Half as many.")
    assert found == PLAIN + '\n[remarks]\nlesson = "Sing."\n"chorus 2" = "Half as many."\n'
    spelled = found.replace('"chorus 2"', '"Chorus  2"')
    assert '"Chorus  2" = "None."' in edited(spelled, "remark", place="chorus 2", text="None.")
    assert "chorus" not in edited(spelled, "remark", place="chorus 2", text="").lower()


def test_a_phrase_changes_where_it_stands_and_leaves_the_rest() -> None:
    fields = {"notes": "3f5 3f8", "name": "answer", "words": "Loud."}
    found = edited(FORM, "phrase", phrase=0, fields=fields)
    expected = FORM.replace('"3f5 3f7"\n', '"3f5 3f8"\nwords = "Loud."\n')
    assert found == expected
    assert edited(FORM, "phrase", phrase=1, fields={"words": None}) == FORM.replace(
        'words = "Soft."\n', ""
    )


def test_phrases_are_added_moved_and_removed_with_their_comments() -> None:
    added = edited(FORM, "phrase", phrase=2, fields={"notes": "1f5", "name": "end", "words": None})
    assert added == FORM + '\n[[phrases]]\nname = "end"\nnotes = "1f5"\nkey = "A"\n'
    assert edited(added, "remove-phrase", phrase=2) == FORM
    moved = edited(FORM, "move-phrase", phrase=1, place=0)
    assert moved.index("# The other.") < moved.index('"call"') < moved.index("# The one they like")
    assert edited(moved, "move-phrase", phrase=0, place=1) == FORM
    gone = edited(FORM, "remove-phrase", phrase=0)
    assert ("# The one" in gone, "# The other." in gone) == (False, True)
    first = edited(PLAIN, "phrase", phrase=0, fields={"name": "a", "notes": "3f5"})
    assert first == PLAIN + '\n[[phrases]]\nname = "a"\nnotes = "3f5"\nkey = "A"\n'


def test_phrases_in_one_list_stay_there() -> None:
    listed = PLAIN + 'phrases = [\n    { name = "a", notes = "3f5" },  # mine\n]\n'
    found = edited(listed, "phrase", phrase=0, fields={"notes": "3f7"})
    assert found == listed.replace("3f5", "3f7")
    two = edited(found, "phrase", phrase=1, fields={"name": "b", "notes": "2f5"})
    assert '{name = "b", notes = "2f5", key = "A"}' in two
    assert "# mine" in two
    swapped = edited(two, "move-phrase", phrase=1, place=0)
    assert swapped.index('"b"') < swapped.index('"a"')
    assert '"b"' not in edited(swapped, "remove-phrase", phrase=0)


@pytest.mark.parametrize(
    "asked",
    [
        {"do": "phrase", "phrase": 3, "fields": {"name": "x"}},
        {"do": "phrase", "phrase": 0, "fields": {"name": ["x"]}},
        {"do": "phrase", "phrase": 0, "fields": "name"},
        {"do": "remove-phrase", "phrase": 7},
        {"do": "blocks", "names": "chart"},
        {"do": "blocks", "names": ["../x"]},
        {"do": "heading", "part": "a.b", "text": "x"},
        {"do": "remark", "place": 1, "text": "x"},
    ],
)
def test_an_edit_that_cannot_be_made_is_refused(asked: dict[str, Any]) -> None:
    with pytest.raises(EditError):
        edit_of(asked)(FORM)


def test_a_phrase_that_cannot_be_read_is_told_in_the_words_of_check(tmp_path: Path) -> None:
    text = FORM.replace("3f5 3f7", "3f5 9f7")
    (mistake,) = read(text, tmp_path / "f.toml").mistakes
    assert (mistake.of, mistake.place, mistake.field) == ("phrases", 0, "notes")
    file = tmp_path / "f.toml"
    file.write_text(text)
    with pytest.raises(groove.GrooveError, match="phrases, 'answer': 9f7 is not on this neck"):
        check_phrases(groove.read_form(file))
    assert mistake.text.startswith("9f7 is not on this neck")


def test_any_edits_of_a_lesson_leave_what_they_say_and_are_all_undone(tmp_path: Path) -> None:
    chance = random.Random(4)
    opened = OpenForm.at(tmp_path / "ferry.toml", FORM)
    lesson: dict[str, Any] = tomllib.loads(FORM)
    parts = ["chart", "plan", "scales", "licks"]
    for number in range(120):
        phrases = lesson.setdefault("phrases", [])
        place, word = chance.randrange(len(phrases) + 1), f"No. {number} # '\" ]"
        asked: dict[str, Any] = {"do": chance.choice(["heading", "remark", "blocks", "phrase"])}
        if asked["do"] == "phrase" and phrases and place < len(phrases) and chance.random() < 0.5:
            to = chance.randrange(len(phrases))
            asked = {"do": chance.choice(["move-phrase", "remove-phrase"]), "phrase": place}
            moved = phrases.pop(place)
            if asked["do"] == "move-phrase":
                asked["place"] = to
                phrases.insert(to, moved)
        elif asked["do"] == "phrase":
            words = chance.choice([None, word])
            fields = {"name": f"phrase {number}", "notes": "3f5 3f7", "words": words}
            asked |= {"phrase": place, "fields": fields}
            before = phrases[place] if place < len(phrases) else {"key": "A"}
            phrases[place:] = [{**before, **fields}, *phrases[place + 1 :]]
            phrases[place] = {n: v for n, v in phrases[place].items() if v is not None}
        elif asked["do"] == "blocks":
            lesson["blocks"] = asked["names"] = chance.sample(parts, chance.randint(0, 4))
        else:
            table = lesson.setdefault("headings" if asked["do"] == "heading" else "remarks", {})
            name, text = chance.choice(parts), chance.choice(["", word])
            asked |= {"part": name, "place": name, "text": text}
            table[name] = text
            if not text:
                del table[name]
        opened.edit(edit_of(asked), opened.version)
        assert opened.mistakes == ()
        lesson = {name: value for name, value in lesson.items() if value}
        assert tomllib.loads(opened.text) == lesson, asked
    while opened.can_undo:
        opened.undo(opened.version)
    assert opened.text == FORM


@pytest.mark.parametrize(
    "asked",
    [
        {"do": "phrase", "phrase": 2, "fields": {"name": "b", "notes": "3f5"}},
        {"do": "phrase", "phrase": 0, "fields": {"words": "Soft."}},
        {"do": "move-phrase", "phrase": 1, "place": 0},
        {"do": "remove-phrase", "phrase": 1},
        {"do": "heading", "part": "plan", "text": "This week"},
        {"do": "remark", "place": "plan", "text": "Sing.\n\nPlay."},
        {"do": "blocks", "names": ["plan", "licks"]},
    ],
)
def test_lines_end_as_they_do_in_the_file(asked: dict[str, Any]) -> None:
    plain = edit_of(asked)(FORM)
    assert edit_of(asked)(FORM.replace("\n", "\r\n")) == plain.replace("\n", "\r\n")


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("lessons.example", "https://lessons.example"),
        (" lessons.example/blues?page=2 ", "https://lessons.example/blues?page=2"),
        ("lessons.example:8080/", "https://lessons.example:8080/"),
        ("http://lessons.example", "http://lessons.example"),
        ("mailto:ada@lessons.example", "mailto:ada@lessons.example"),
        ("ada@lessons.example", "ada@lessons.example"),
        ("lessons", "lessons"),
        ("lessons.", "lessons."),
        ("my lessons.example", "my lessons.example"),
        ("ftp://lessons.example", "ftp://lessons.example"),
    ],
)
def test_a_web_address_may_be_typed_without_its_beginning(typed: str, kept: str) -> None:
    found = edit_of({"do": "field", "name": "link", "value": typed})(PLAIN)
    assert tomllib.loads(found)["link"] == kept
