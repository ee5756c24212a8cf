"""A student's week: the teacher's remarks, and the practice plan of each key."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from html import escape
from typing import Any

from groove.handout.pack.listing import SHORT, practice_link
from groove.handout.pack.plan import KeyFolder, PackPlan, Piece
from groove.handout.sheet.sheet import write_sheet
from groove.lesson.blocks import heading_of
from groove.lesson.practice_plan import Plan
from groove.lesson.voice import TeacherVoice
from groove.wording import said, words_of

PLAN = "plan"
"""The plan's name among the parts of a lesson sheet."""


@dataclass(frozen=True, slots=True)
class Week:
    """The plans by the folder of their key and their reader, empty where the teacher's sheets have
    none."""

    plans: Mapping[tuple[str, str], Plan]

    def html(self, pack: PackPlan, voice: TeacherVoice, in_key: KeyFolder, reader: str) -> str:
        """A section with remarks and the plan of one key; nothing where there is neither."""
        remarks = "".join(f"\n<p>{escape(words)}</p>" for words in voice.remarks)
        remarks = remarks and f"\n<h3>{escape(heading_of('remarks'))}</h3>{remarks}"
        plan, steps = self.plans.get((in_key.folder, reader)), ""
        if plan:
            ladder = _ladder_html(plan, pack.page.pieces[0], in_key, reader)
            steps = _plan_html(plan, pack.form.lesson.remarks_at(PLAN), ladder)
        if not remarks + steps:
            return ""
        title = escape(said("pack", "week.title"))
        return (
            '<section id="week" class="card" aria-labelledby="week-title">\n'
            f'<h2 id="week-title">{title}</h2>{remarks}{steps}\n</section>'
        )

    def data(self) -> dict[str, Any]:
        """The plans for JSON: all sentences, each once, and by key and reader those of
        session and tempo, and, of each step, its minutes, title, task and what to listen for;
        ladder: the tempi themselves."""
        numbers: dict[str, int] = {}

        def numbered(sentence: str) -> int:
            return numbers.setdefault(sentence, len(numbers))

        plans = {
            f"{folder} {SHORT[reader]}": {
                "session": [numbered(plan.session)],
                "tempo": [numbered(sentence) for sentence in plan.tempo_words],
                "steps": [
                    [numbered(text) for text in _step(step.minutes, step.title)]
                    + [numbered(step.words), numbered(step.listen)]
                    for step in plan.steps
                ],
                "ladder": list(plan.ladder),
            }
            for (folder, reader), plan in self.plans.items()
        }
        return {"sentences": list(numbers), "plans": plans}


def week_of(pack: PackPlan) -> Week:
    """The week of a pack."""
    return Week(
        {
            (in_key.folder, reader): plan
            for in_key in pack.key_folders
            for reader, plan in _plans(in_key).items()
        }
    )


def _plans(in_key: KeyFolder) -> dict[str, Plan]:
    """The plan on each lesson sheet of a key, by its reader."""
    sheets = {
        task.request.reader: write_sheet(in_key.form, task.request)
        for task in in_key.papers
        if task.kind == "sheet"
    }
    return {reader: made.guide.plan for reader, made in sheets.items() if PLAN in made.blocks}


def _ladder_html(plan: Plan, page: Piece, in_key: KeyFolder, reader: str) -> str:
    """A paragraph with each tempo of a plan, a link that opens the practice page at it."""
    rungs = " ".join(
        f'<a href="{practice_link(page, in_key, tempo, reader)}" '
        f'aria-label="{escape(said("page", "practise.rung", tempo=tempo))}">{tempo}</a>'
        for tempo in plan.ladder
    )
    title = escape(said("page", "practise.ladder"))
    return f'<p id="plan-ladder">{title} <span id="plan-rungs">{rungs}</span></p>'


def _plan_html(plan: Plan, remarks: tuple[str, ...], ladder: str) -> str:
    minutes = sum(step.minutes for step in plan.steps)
    title = heading_of(PLAN)
    summary = escape(said("pack", "week.plan", plan=title, minutes=minutes, steps=len(plan.steps)))
    own = "".join(f"\n<p>{escape(words)}</p>" for words in remarks)
    listen = escape(words_of("plan")["session"]["listen"])
    steps = "".join(
        f'<li><span class="minutes">{escape(time)}</span> <div><strong>{escape(title)}</strong> '
        f'<span class="task">{escape(step.words)}</span> '
        f'<em>{listen} <span class="listen">{escape(step.listen)}</span></em>'
        "</div></li>"
        for step in plan.steps
        for time, title in [_step(step.minutes, step.title)]
    )
    return (
        f'\n<details id="plan" open><summary>{summary}</summary>{own}\n'
        f'<p id="plan-session">{escape(plan.session)}</p>\n<ol id="plan-steps">{steps}</ol>\n'
        f'<p id="plan-tempo">{escape(" ".join(plan.tempo_words))}</p>\n{ladder}\n</details>'
    )


def _step(minutes: int, title: str) -> tuple[str, str]:
    return (
        said("plan", "session.minutes", minutes=minutes),
        said("plan", "session.step", title=title),
    )
