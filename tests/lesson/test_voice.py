"""The teacher's own words as a form has them."""

from pathlib import Path

import pytest

import groove
from groove.errors import GrooveError
from groove.form.lesson_fields import NO_LESSON
from groove.lesson.voice import SILENT, voice_of
from tests.lesson.voice_material import INVITE, LINK, SECOND, TEACHER, WHOLE, taught


def test_voice_has_name_address_remarks_and_last_line(tmp_path: Path) -> None:
    voice = voice_of(taught(tmp_path).lesson)
    assert voice.line == f"Teacher: {TEACHER} · lessons.example/blues"
    assert (voice.link, voice.invite) == (LINK, INVITE)
    assert voice.remarks == (WHOLE, f"Chorus 2: {SECOND}")


def test_a_form_without_a_teacher_is_silent() -> None:
    assert voice_of(NO_LESSON) == SILENT
    assert not SILENT.texts


def read_with(tmp_path: Path, field: str) -> groove.Form:
    path = tmp_path / "form.toml"
    path.write_text(f'chords = "I7:4"\n{field}\n', "utf-8")
    return groove.read_form(path)


@pytest.mark.parametrize(
    "link",
    ["https://lessons.example", "HTTP://x.example/a_b?c=d#e", "mailto:ada@lessons.example",
     "https://bücher.example/ü"],
)  # fmt: skip
def test_an_address_for_web_or_mail_is_taken(tmp_path: Path, link: str) -> None:
    form = read_with(tmp_path, f"link = '{link}'")
    assert form.lesson.link == link
    assert voice_of(form.lesson).link.isascii()


@pytest.mark.parametrize(
    "link",
    ["javascript:alert(1)", "data:text/html,x", "ftp://x.example", "lessons.example", "https://",
     'https://x"y', "https://x<y", "https://a b", "mailto:", " javascript:x//https://x"],
)  # fmt: skip
def test_any_other_address_is_refused_in_one_line(tmp_path: Path, link: str) -> None:
    with pytest.raises(GrooveError, match="an http, https or mailto address is allowed"):
        read_with(tmp_path, f"link = '{link}'")


@pytest.mark.parametrize(
    ("field", "places"),
    [
        ('remarks = "One.\\n\\nTwo\\nlines."', [("", "One."), ("", "Two lines.")]),
        ('remarks = ["One.", "Two."]', [("", "One."), ("", "Two.")]),
        (
            '[remarks]\nlesson = ["One.", "Two."]\nsolo = "Three."\n"Chorus  02" = "Four."',
            [("", "One."), ("", "Two."), ("solo", "Three."), ("chorus 2", "Four.")],
        ),
        ('remarks = ""', []),
    ],
)
def test_remarks_are_paragraphs_or_a_table_of_them(
    tmp_path: Path, field: str, places: list[tuple[str, str]]
) -> None:
    found = read_with(tmp_path, field).lesson.remarks
    assert [(remark.place, remark.words) for remark in found] == places


@pytest.mark.parametrize(
    ("field", "said"),
    [
        ('[remarks]\nsollo = "x"', "did you mean solo"),
        ('[remarks]\n"chorus 0" = "x"', "chorus 2"),
        ("remarks = 3", "write text in quotes"),
        (f'remarks = "{"x" * 2001}"', "at most 2000 characters"),
    ],
)
def test_other_remarks_are_refused_in_one_line(tmp_path: Path, field: str, said: str) -> None:
    with pytest.raises(GrooveError, match=said):
        read_with(tmp_path, field)
