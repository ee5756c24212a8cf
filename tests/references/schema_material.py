"""The published schema of MusicXML 4.0, and files in the form in which it takes them."""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path

import xmlschema


@cache
def schema() -> xmlschema.XMLSchema:
    """The schema, with the two that it needs from the web taken from xmlschema itself."""
    found = find_spec("musicxml")
    assert found
    assert found.origin
    text = (Path(found.origin).parent / "generate_classes" / "musicxml_4_0.xsd").read_text("utf-8")
    assert "Version 4.0" in text[:1000]
    held = Path(xmlschema.__file__).parent / "schemas"
    for name, path in (("xml", "XML/xml.xsd"), ("xlink", "XLINK/xlink.xsd")):
        text = text.replace(f"http://www.musicxml.org/xsd/{name}.xsd", (held / path).as_uri())
    return xmlschema.XMLSchema(text, allow="local")


def without_head(data: bytes) -> str:
    return data.decode().split('partwise.dtd">\n', 1)[1]
