"""The first page: chart, main scales and plan."""

import re

import pytest

from groove.handout.chart.text import chart_text
from groove.handout.drawing.page import PAPERS
from groove.handout.sheet.pages import sheet_pages
from tests.handout.sheet.sheet_material import each_layout, laid_out, sheet
from tests.lesson.guide_material import FORMS


@each_layout
def test_chart_main_scales_and_plan_of_up_to_32_bars_stand_on_the_first_page(
    form: str, instrument: str, paper: str
) -> None:
    made = sheet(form, instrument=instrument)
    assert made.guide.form.bars <= 32
    first, second, *_ = laid_out(form, instrument, paper)
    assert first.words.startswith(chart_text(made.chart))
    assert "Main scales" in first.words
    assert made.guide.plan.steps[-1].listen in first.words
    assert second.words.startswith("Scales for the whole form")


@pytest.mark.parametrize("form", FORMS)
def test_no_step_of_the_plan_stands_alone_on_a_page(form: str) -> None:
    pages = sheet_pages(sheet(form), PAPERS["a4"])
    steps = [len(re.findall(r"^\d min ", page.words, re.M)) for page in pages]
    assert sum(steps) == len(sheet(form).guide.plan.steps)
    assert 1 not in steps
