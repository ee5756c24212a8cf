"""The chart of the overview: a picture of the whole chart, as large as its ink."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

import groove
from groove.form.model import Form
from groove.handout.chart.files import chart
from groove.handout.chart.text import chart_text
from groove.handout.pack.picture import chart_picture
from tests.form.road_material import arranged
from tests.handout.practice.page_material import ARRANGEMENT

SVG = "{http://www.w3.org/2000/svg}"
FORMS = {
    "short": groove.read_form("twelve-bar"),
    "long": groove.read_form(
        "rhythm-changes", title="A title that no line of the paper holds " * 3
    ),
    "arranged": arranged(**ARRANGEMENT),
}


@pytest.mark.parametrize("form", FORMS.values(), ids=FORMS)
def test_it_is_narrow_and_holds_the_whole_chart(form: Form) -> None:
    written = chart(form)
    picture = ET.fromstring(chart_picture(written))
    _, _, wide, high = map(float, picture.get("viewBox", "").split())
    assert 100 < wide < 150
    assert 60 < high < 600
    assert picture.findtext(f"{SVG}desc") == chart_text(written, closed=False)


def test_remarks_and_last_line_are_left_to_the_overview() -> None:
    form = groove.read_form("twelve-bar", teacher="Ada Finch", invite="Send me your version.")
    picture = chart_picture(chart(form)).decode()
    assert "Ada Finch" in picture
    assert "Send me" not in picture
