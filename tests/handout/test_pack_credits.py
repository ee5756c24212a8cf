"""What a soundfont's licence asks of whoever posts a pack."""

from __future__ import annotations

from pathlib import Path

import pytest

from groove.handout.pack_credits import caution, may_be_posted
from groove.sound.soundfonts import KNOWN, Soundfont


def font(licence: str) -> Soundfont:
    return Soundfont(Path("some.sf2"), "Some Sounds", licence)


@pytest.mark.parametrize("licence", ["MIT licence", "CC0 1.0", "public domain", "CC BY 4.0"])
def test_a_licence_that_asks_for_a_credit_at_most_needs_no_caution(licence: str) -> None:
    assert caution(font(licence)) is None
    assert may_be_posted(font(licence))


@pytest.mark.parametrize("licence", ["GNU General Public License, version 2", "GPL-3.0"])
def test_a_licence_that_is_passed_on_is_warned_of(licence: str) -> None:
    said = caution(font(licence))
    assert said is not None
    assert licence in said
    assert "offer that licence and the soundfont" in said
    assert may_be_posted(font(licence))


@pytest.mark.parametrize("licence", ["licence not stated", "all rights reserved"])
def test_a_licence_that_does_not_allow_posting_is_warned_of(licence: str) -> None:
    said = caution(font(licence))
    assert said is not None
    assert "does not say that its sounds may be posted" in said
    assert not may_be_posted(font(licence))


def test_every_soundfont_that_is_taken_by_itself_may_be_posted() -> None:
    assert all(may_be_posted(font(known.licence)) for known in KNOWN)
