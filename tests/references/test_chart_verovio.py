"""Charts as MusicXML, engraved by Verovio: what stands on the page.

Source: the music engraving library ``verovio``, which writes each sign into SVG with its class
and the code point that the SMuFL standard gives it.
"""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
import verovio

from groove.form.model import Form
from groove.handout.chart.musicxml import musicxml
from groove.handout.chart.written import write_chart
from tests.handout.chart.chart_material import form, shipped
from tests.handout.chart.marked_material import marked_chart

NAMES = {"svg": "http://www.w3.org/2000/svg"}
SIGNS = {"\uea64": "♭", "\uea66": "♯", "\N{NO-BREAK SPACE}": " "}
SLASHES = ("E100", "E101")


def engraved(made: Form) -> ET.Element:
    return engraving(musicxml(write_chart(made)))


def engraving(data: bytes) -> ET.Element:
    toolkit = verovio.toolkit()
    toolkit.setOptions({"pageHeight": 5000, "svgRemoveXlink": True, "svgFormatRaw": True})
    assert toolkit.loadData(data.decode())
    assert toolkit.getPageCount() == 1
    return ET.fromstring(toolkit.renderToSVG(1))


def of_class(page: ET.Element, name: str) -> list[ET.Element]:
    return [g for g in page.iterfind(".//svg:g", NAMES) if g.get("class", "").split()[:1] == [name]]


def texts(page: ET.Element, name: str) -> list[str]:
    found = ("".join(g.itertext()) for g in of_class(page, name))
    return ["".join(SIGNS.get(c, c) for c in text) for text in found]


def test_every_beat_is_a_slash_without_a_stem() -> None:
    page = engraved(shipped("twelve-bar", ending="loop"))
    heads = [use.get("href", "")[1:5] for g in of_class(page, "notehead")
             for use in g.iterfind("svg:use", NAMES)]  # fmt: skip
    assert len(heads) == 12 * 4
    assert set(heads) <= set(SLASHES)
    assert not any(stem.findall("svg:path", NAMES) for stem in of_class(page, "stem"))
    assert not of_class(page, "rest")


@pytest.mark.parametrize(
    ("chord", "shown"),
    [("C7b9", "C7(♭9)"), ("C13", "C9(13)"), ("C13#11", "C13(♯11)"), ("C7#9b13", "C7(♯9 ♭13)"),
     ("C9sus4", "C9(sus4 no3)"), ("C6/9", "C6(9)"), ("Cm7b5", "Cm7(♭5)"), ("Cadd9", "C(add9)"),
     ("Cmaj7", "Cmaj7"), ("Cdim7", "Cdim7"), ("C/E", "C/E"), ("N.C.", "N.C.")],
)  # fmt: skip
def test_chords_are_read_once(chord: str, shown: str) -> None:
    page = engraved(form(chords=f"C {chord}", choruses=1, ending="loop"))
    assert texts(page, "harm")[-1] == shown


def test_words_stand_over_the_first_bar() -> None:
    page = engraved(shipped("twelve-bar"))
    assert texts(page, "dir") == [write_chart(shipped("twelve-bar")).feel]
    assert texts(page, "tempo")[0].endswith("= 112")
    (words,) = of_class(page, "dir")
    (tempo,) = of_class(page, "tempo")
    left = [float(next(g.iterfind(".//svg:text", NAMES)).get("x", "")) for g in (words, tempo)]
    first = next(of_class(page, "note")[0].iterfind(".//svg:use", NAMES)).get("transform", "")
    assert left[0] >= float(first.split("(")[1].split(",")[0]) - 1


def codes(page: ET.Element, name: str) -> list[str]:
    """The SMuFL code points of the signs of a class, in order."""
    return [
        use.get("href", "")[1:5]
        for g in of_class(page, name)
        for use in g.iterfind(".//svg:use", NAMES)
    ]


def test_every_mark_of_an_arrangement_is_engraved() -> None:
    page = engraving(musicxml(marked_chart()))
    signs = {use.get("href", "")[1:5] for use in page.iterfind(".//svg:use", NAMES)}
    assert {"E047", "E048", "E4C0", "E4A1"} <= signs  # segno, coda, fermata, accent
    assert codes(page, "meterSig")[-2:] == ["E086", "E088"]
    assert {"1.", "2."} <= set(texts(page, "ending"))
    assert len(of_class(page, "hairpin")) == 2
    assert len(of_class(page, "tuplet")) == 2
    assert len(of_class(page, "tie")) >= 3  # one that goes over a line's end is drawn in two parts
    said = " ".join("".join(text.itertext()) for text in page.iterfind(".//svg:text", NAMES))
    for words in ("To Coda", "D.S. al Coda", "Swing", "half-time feel", "pedal C", "rit."):
        assert words.replace(" ", "") in said.replace(" ", "").replace("\N{NO-BREAK SPACE}", "")
