"""The teacher's own words for handouts: name, address, remarks and a last line to the student."""

from __future__ import annotations

from dataclasses import dataclass

from groove.form.lesson_fields import LessonFields, in_ascii
from groove.wording import said


@dataclass(frozen=True, slots=True)
class TeacherVoice:
    """teacher: the name, byline: the same in words. link: the address in ASCII, shown: as a reader
    sees it. remarks: paragraphs on the whole lesson and on its choruses. invite: the last line."""

    teacher: str = ""
    byline: str = ""
    link: str = ""
    shown: str = ""
    remarks: tuple[str, ...] = ()
    invite: str = ""

    @property
    def line(self) -> str:
        """Name and address in one line."""
        return " · ".join(part for part in (self.byline, self.shown) if part)

    @property
    def texts(self) -> tuple[str, ...]:
        """All that the teacher wrote."""
        return tuple(text for text in (self.line, *self.remarks, self.invite) if text)


SILENT = TeacherVoice()


def voice_of(lesson: LessonFields) -> TeacherVoice:
    """The teacher's words in a form's lesson; empty where it has none."""
    byline = said("teacher", "byline.teacher", teacher=lesson.teacher) if lesson.teacher else ""
    numbered = sorted(
        (int(remark.place.removeprefix("chorus ")), remark.words)
        for remark in lesson.remarks
        if remark.place.startswith("chorus ")
    )
    chorus = [said("teacher", "remarks.chorus", number=n, remark=words) for n, words in numbered]
    return TeacherVoice(
        lesson.teacher,
        byline,
        in_ascii(lesson.link),
        shown(lesson.link),
        (*lesson.remarks_at(""), *chorus),
        lesson.invite,
    )


def shown(link: str) -> str:
    """An address without its scheme and without a slash at its end.

    >>> shown("https://lessons.example/"), shown("mailto:ada@lessons.example")
    ('lessons.example', 'ada@lessons.example')
    """
    for scheme in ("https://", "http://", "mailto:"):
        if link.lower().startswith(scheme):
            return link[len(scheme) :].removesuffix("/")
    return link
