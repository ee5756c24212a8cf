"""The terms of a soundfont's licence for posting a pack or a page."""

from __future__ import annotations

from pathlib import Path

import pytest

from groove.sound.synth.licences import caution, is_mit, may_be_posted
from groove.sound.synth.soundfonts import Soundfont, known_soundfonts


def font(licence: str) -> Soundfont:
    return Soundfont(Path("some.sf2"), "Some Sounds", licence)


@pytest.mark.parametrize(
    "licence",
    [
        "MIT licence",
        "MIT",
        "MIT licence; CC BY 3.0",
        "MIT (A. Player); CC BY 4.0",
        "Licensed under the MIT License.",
        "CC0 1.0",
        "public domain",
        "CC BY 4.0",
    ],
)
def test_a_licence_that_asks_for_a_credit_at_most_needs_no_caution(licence: str) -> None:
    assert caution(font(licence)) is None
    assert may_be_posted(font(licence))


@pytest.mark.parametrize(
    "licence",
    [
        "GNU General Public License, version 2",
        "GPL-3.0",
    ],
)
def test_a_licence_that_is_passed_on_is_warned_of(licence: str) -> None:
    said = caution(font(licence))
    assert said is not None
    assert licence in said
    assert "offer that licence and the soundfont" in said
    assert may_be_posted(font(licence))


@pytest.mark.parametrize("licence", ["CC BY-SA 4.0", "Creative Commons Attribution-ShareAlike 3.0"])
def test_share_alike_is_warned_of(licence: str) -> None:
    said = caution(font(licence))
    assert said is not None
    assert f"Some Sounds is under {licence}: share-alike." in said
    assert "put the page under the same licence" in said
    assert may_be_posted(font(licence))


@pytest.mark.parametrize(
    "licence",
    [
        "licence not stated",
        "all rights reserved",
        "CC BY-NC 4.0",
        "CC BY-ND 4.0",
        "Not permitted",
        "Free for non-commercial use",
        "CC BY-NC-SA 4.0",
        "Use limited to private study",
        "(c) Summit Media, all rights reserved",
        "(c) MIT Tone Works. All rights reserved",
        "made in studio MIT",
    ],
)
def test_a_licence_that_does_not_allow_posting_is_warned_of(licence: str) -> None:
    said = caution(font(licence))
    assert said is not None
    assert "does not say that its sounds may be posted" in said
    assert not may_be_posted(font(licence))


def test_every_soundfont_that_the_program_knows_may_be_posted() -> None:
    assert all(may_be_posted(font(known.licence)) for known in known_soundfonts())


@pytest.mark.parametrize("licence", ["Use limited to private study", "Copying not permitted"])
def test_permission_is_not_taken_for_the_mit_licence(licence: str) -> None:
    assert not is_mit(licence)
