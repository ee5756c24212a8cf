"""The practice page in Firefox: it opens and plays there as in Chromium."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import pytest

from tests.browser.firefox_material import Firefox
from tests.browser.practice_material import HEAR, ON_TIME, beats

Opener = Callable[..., Firefox]
ENOUGH = "(count) => window.notes?.filter((note) => note.part === 'click').length >= count"


def test_it_plays_on_time_behind_another_tab_too(in_firefox: Opener) -> None:
    page = in_firefox("#tempo=300&silent=none&countin=off")
    page.evaluate(HEAR)
    page.click("#play")
    page.wait_for(ENOUGH, 8)
    with page.hidden():
        page.wait_for(ENOUGH, 30)
    notes = page.evaluate("window.notes")
    gaps = [after - before for before, after in pairwise(beats(notes))]
    assert gaps == pytest.approx([0.2] * len(gaps), abs=ON_TIME)
    assert min(note["ahead"] for note in notes) > 0
    assert page.evaluate("practice.stage.place().stage") == "playing"


def test_it_asks_for_nothing_and_complains_of_nothing(in_firefox: Opener) -> None:
    page = in_firefox()
    page.click("#play")
    page.wait_for("document.querySelector('.bar[aria-current]') !== null")
    page.click("#play")
    assert (page.requests, page.complaints) == ([], [])


def test_a_complaint_and_a_request_would_be_noticed(in_firefox: Opener) -> None:
    page = in_firefox()
    page.evaluate("() => { new Image().src = 'http://127.0.0.1:45999/'; }")  # the policy refuses it
    page.wait_for("new Promise((soon) => setTimeout(soon, 50, true))")
    assert any("Content-Security-Policy" in complaint for complaint in page.complaints)
    page.goto("data:text/html,<img src=http://127.0.0.1:45999/>")
    assert page.requests == ["http://127.0.0.1:45999/"]


def test_without_an_audio_device_it_stops_and_says_so(in_firefox: Opener) -> None:
    page = in_firefox(media__cubeb__force_null_context=True)
    page.click("#play")
    page.wait_for("!document.getElementById('trouble').hidden")
    assert "no audio device" in page.evaluate("document.getElementById('trouble').textContent")
    assert page.evaluate("document.getElementById('play-word').textContent") == "Play"


def test_without_storage_it_says_that_nothing_is_kept(in_firefox: Opener) -> None:
    page = in_firefox(dom__storage__enabled=False)
    assert "keeps nothing" in page.evaluate("document.getElementById('kept').textContent")
    page.click("#play")
    page.wait_for("document.querySelector('.bar[aria-current]') !== null")
    assert page.complaints == []
