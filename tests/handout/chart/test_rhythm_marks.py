"""Rhythms drawn under a chart's chords."""

import groove
from groove.handout.chart.pages import chart_pages
from groove.handout.chart.written import write_chart
from groove.handout.drawing.page import PAPERS, Glyph, ink_box


def test_a_rest_after_a_short_stroke_stands_clear_of_it() -> None:
    chart = write_chart(groove.read_form("twelve-bar", drums="shuffle", ending="break", tempo=84))
    (page,) = chart_pages(chart, PAPERS["a4"])
    glyphs = [mark for mark in page.marks if isinstance(mark, Glyph)]
    rests = [ink_box(mark) for mark in glyphs if mark.name.endswith(" rest")]
    strokes = [ink_box(m) for m in glyphs if m.name.endswith(("slash", "eighth flag"))]
    assert rests
    assert strokes
    for rest in rests:
        for stroke in strokes:
            assert rest
            assert stroke
            beside = rest.left >= stroke.right - 0.2 or stroke.left >= rest.right - 0.2
            above = rest.bottom <= stroke.top or stroke.bottom <= rest.top
            assert beside or above
