"""The script policy and the style that the pages share."""

from __future__ import annotations

from importlib.resources import files

from groove.handout.practice.inline import sources, styles
from groove.handout.web import allowed, common_style, filled


def test_what_goes_into_a_place_is_not_read_again() -> None:
    assert filled("<b>{{one}}</b>{{two}}", {"one": "{{two}}", "two": "2"}) == "<b>{{two}}</b>2"


def test_a_policy_knows_the_empty_script_by_its_published_digest() -> None:
    """SHA-256 of nothing: the example of FIPS 180-4's test vectors (from memory)."""
    assert allowed("") == "'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='"


def test_no_page_says_again_what_the_common_sheet_says() -> None:
    common = {line for line in common_style().splitlines() if "{" in line and "}" in line}
    own = [sources() / name for name in styles()]
    own.append(files("groove.handout.pack") / "page" / "style.css")
    for style in own:
        assert not common & set(style.read_text("utf-8").splitlines())
