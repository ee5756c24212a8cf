"""The practice page in another language: no word of its own is left in English."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from groove.handout.practice.inline import page_html
from groove.wording import Wording, worded, words_of
from tests.browser.practice_material import FORM, TEXTS
from tests.handout.practice.page_material import data_in, data_without_notes

SEEN = """() => {
  const others = `.card-more, #throughout, #session, #tempo-words, #steps b, #steps p, #sheet .entry, #sheet p:not(:nth-child(2)), footer, script, noscript`;
  for (const place of document.querySelectorAll(others)) place.remove();
  const said = [document.title];
  const walk = document.createTreeWalker(document.documentElement, NodeFilter.SHOW_ELEMENT);
  for (let node = walk.currentNode; node; node = walk.nextNode()) {
    if (node.closest('style')) continue;
    said.push(...['aria-label', 'aria-valuetext', 'placeholder', 'title', 'data-old'].map((name) => node.getAttribute(name) ?? ''));
    said.push(...[...node.childNodes].filter((child) => child.nodeType === Node.TEXT_NODE).map((child) => child.data));
  }
  return said;
}"""  # noqa: E501
"""All that is seen or read out but for what the lesson sheet says too."""
OWN = {"Ferry", "Landing", "Rumba", "rumba", "blues", "minor", "major", "pentatonic"}
"""Names of the form and of scales, which have their own words."""


def other(words: Any) -> Any:
    """The words in a language without our letters."""
    if isinstance(words, dict):
        return {name: other(inside) for name, inside in words.items()}
    if isinstance(words, list):
        return [
            other(each) if isinstance(each, str) else [each[0], other(each[1])] for each in words
        ]
    return re.sub(r"\{\w+\}|[A-Za-z]+", lambda found: found[0] if "{" in found[0] else "жж", words)


def test_a_page_in_other_words_has_none_of_its_own(
    opened: Any, practice_page: Path, tmp_path: Path
) -> None:
    made = practice_page.read_text("utf-8")
    data = data_in(made, "track-data")
    with worded(Wording({"page": other(words_of("page"))})):
        new = data_without_notes("twelve-bar", **FORM)
        new["keys"] = [old | key for old, key in zip(data["keys"], new["keys"], strict=True)]
        sounds = {"track": data | new, "sounds": data_in(made, "sound-data")}
        kept = {name: data[name] for name in ("streams", "controls", "parts", "clicks")}
        sounds["track"] |= {name: value for name, value in kept.items() if name in data}
        page = tmp_path / "page.html"
        page.write_text(page_html(TEXTS, sounds), "utf-8")
    shown = opened("#show=keyboard&rounds=4&faster=4&for=Bb", page)
    shown.click("#copy")
    shown.evaluate("dispatchEvent(new Event('beforeprint'))")
    words = {word for text in shown.evaluate(SEEN) for word in re.findall("[A-Za-z]{4,}", text)}
    assert words <= OWN
    assert shown.seen.complaints == []
