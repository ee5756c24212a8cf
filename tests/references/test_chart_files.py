"""Chart files against the outside: the published schema, a PDF reader, a font reader.

Sources: the W3C schema of MusicXML 4.0 as the package ``musicxml`` carries it, checked with
``xmlschema``; ``pypdfium2``; ``fontTools``.
"""

from __future__ import annotations

import pypdfium2
import pytest
import xmlschema
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import ControlBoundsPen
from fontTools.svgLib.path import parse_path
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.form.model import Form
from groove.form.readers import READERS
from groove.handout.chart.musicxml import musicxml
from groove.handout.chart.pages import chart_pages
from groove.handout.chart.written import write_chart
from groove.handout.drawing.faces import FILES, FOLDER, face
from groove.handout.drawing.page import PAPERS
from groove.handout.drawing.pdf import pdf
from tests.examples import examples
from tests.handout.chart.chart_material import FORMS, form, forms, shipped
from tests.handout.chart.marked_material import marked_chart
from tests.references.schema_material import schema as published_schema
from tests.references.schema_material import without_head

INCH = 72 / 25.4


@pytest.fixture(scope="module")
def schema() -> xmlschema.XMLSchema:
    return published_schema()


@pytest.mark.parametrize(
    ("name", "reader"),
    [*((name, "concert") for name in FORMS), *(("rhythm-changes", reader) for reader in READERS)],
)
def test_musicxml_is_valid(name: str, reader: str, schema: xmlschema.XMLSchema) -> None:
    schema.validate(without_head(musicxml(write_chart(shipped(name), READERS[reader]))))


def test_musicxml_of_all_marks_is_valid(schema: xmlschema.XMLSchema) -> None:
    schema.validate(without_head(musicxml(marked_chart())))


@given(made=forms(most_bars=16), numerals=st.booleans())
@settings(max_examples=examples(20))
def test_musicxml_of_any_form_is_valid(
    made: Form, numerals: bool, schema: xmlschema.XMLSchema
) -> None:
    schema.validate(without_head(musicxml(write_chart(made), numerals=numerals)))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", FORMS)
def test_pdf_opens_with_its_size_and_texts(name: str, paper: str) -> None:
    chart = write_chart(shipped(name))
    document = pypdfium2.PdfDocument(pdf(chart_pages(chart, PAPERS[paper])))
    assert len(document) == 1
    sheet = PAPERS[paper]
    assert document[0].get_size() == pytest.approx(
        (sheet.width * INCH, sheet.height * INCH), abs=0.1
    )
    text = document[0].get_textpage().get_text_range()
    assert chart.title in text
    assert chart.feel in text
    assert chart.home.split()[-1] in text


def test_pdf_pictures_have_ink_where_the_chords_stand() -> None:
    pages = chart_pages(write_chart(shipped("twelve-bar")), PAPERS["a4"])
    picture = pypdfium2.PdfDocument(pdf(pages))[0].render(scale=1, grayscale=True).to_numpy()
    dark = (picture < 128).any(axis=1)
    assert dark.sum() > 150
    assert not dark[:20].any()


def test_pdf_of_a_long_form_has_all_its_pages() -> None:
    pages = chart_pages(write_chart(form(chords="I7:300", choruses=1, tempo=300)), PAPERS["a4"])
    assert len(pypdfium2.PdfDocument(pdf(pages))) == len(pages)


@pytest.mark.parametrize("name", FILES)
def test_glyphs_are_as_a_font_library_reads_them(name: str) -> None:
    font = TTFont(FOLDER / FILES[name])
    glyphs, ours = font.getGlyphSet(), face(name)
    assert ours.em == font["head"].unitsPerEm
    assert (ours.ascent, ours.descent) == (font["hhea"].ascent, font["hhea"].descent)
    wanted = {chr(code): glyph for code, glyph in font.getBestCmap().items()}
    assert set(ours.characters) == set(wanted)
    for character, glyph in [*wanted.items(), ("\N{REPLACEMENT CHARACTER}", ".notdef")]:
        bounds, area = ControlBoundsPen(glyphs), AreaPen(glyphs)
        glyphs[glyph].draw(bounds)
        glyphs[glyph].draw(area)
        shape = ours.glyph(character)
        assert shape.advance == glyphs[glyph].width
        assert shape.box == bounds.bounds
        drawn, drawn_area = ControlBoundsPen(None), AreaPen()
        parse_path(shape.outline, drawn)
        parse_path(shape.outline, drawn_area)
        assert drawn.bounds == bounds.bounds
        assert drawn_area.value == pytest.approx(area.value)
