"""The teacher's own words on the practice page, on screen and in print."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from groove.form.lesson_fields import LessonFields, Remark
from groove.handout.practice.inline import page_html
from groove.handout.teacher import byline_html, invite_html, own_html, remarks_html
from groove.lesson.voice import TeacherVoice
from tests.browser.practice_material import TEXTS, print_preview
from tests.handout.practice.page_material import data_in

VOICE = TeacherVoice(
    "Ada Example",
    "Teacher: Ada Example",
    "https://lessons.example/blues",
    "lessons.example/blues",
    ("Leave room, <b>breathe</b>.", "W" * 200),
    "Send me your version.",
)
LESSON = LessonFields(
    remarks=(Remark("Two steps a <day>.", "plan"), Remark("With the thumb.", "grips"))
)


def test_the_teacher_s_words_are_on_screen_and_in_print(
    opened: Any, practice_page: Path, tmp_path: Path
) -> None:
    made = practice_page.read_text("utf-8")
    data = {"track": data_in(made, "track-data"), "sounds": data_in(made, "sound-data")}
    texts = TEXTS | {
        "teacher": byline_html(VOICE),
        "remarks": remarks_html(VOICE),
        "invite": invite_html(VOICE),
        **{f"own.{place}": words for place, words in own_html(LESSON).items()},
    }
    path = tmp_path / "page.html"
    path.write_text(page_html(texts, data), "utf-8")
    page = opened("#view=page", path, viewport={"width": 360, "height": 740})
    assert page.locator(".teacher a").get_attribute("href") == VOICE.link
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    print_preview(page)
    sheet = page.inner_text("#sheet")
    own = [remark.words for remark in LESSON.remarks]
    assert own[0] in page.locator("#practise").text_content()
    assert f"Grips: {own[1]}" in page.locator("#hands").text_content()
    for words in (*own, *VOICE.remarks, VOICE.byline, VOICE.shown, VOICE.invite):
        assert sheet.count(words) == 1
