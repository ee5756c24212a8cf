"""The right files are asked for, under names that say what is in them."""

from __future__ import annotations

from contextlib import nullcontext
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.band.part import CLICK
from groove.errors import GrooveError
from groove.sound.mixes import audio_files, mixes
from groove.sound.options import AudioOptions, wanted

PLAYERS = ("drums", "bass", "comping", "percussion")
PARTS = (*PLAYERS, CLICK)
some_parts = st.sets(st.sampled_from(PARTS))


@pytest.mark.parametrize(
    ("options", "name", "parts"),
    [
        ({}, "", PARTS),
        ({"without": ["bass"]}, "_without-bass", ("drums", "comping", "percussion", "click")),
        ({"without": ["click"]}, "_without-click", PLAYERS),
        ({"without": ["drums", "bass", "percussion"]}, "_only-comping", ("comping", "click")),
        ({"only": ["drums"]}, "_only-drums", ("drums", "click")),
        ({"only": ["drums", "bass"]}, "_without-comping-percussion", ("drums", "bass", "click")),
    ],
)
def test_the_main_mix_has_those_who_were_asked_for(
    options: AudioOptions, name: str, parts: tuple[str, ...]
) -> None:
    main, *others = mixes(PARTS, **options)  # type: ignore[misc]
    assert (main.suffix, main.parts, main.mastered, others) == (name, parts, True, [])


def test_comping_names_guitar_and_keys_where_both_play() -> None:
    band = ("drums", "bass", "guitar", "keys", "melody")
    assert mixes(band, without=["comping"])[0].parts == ("drums", "bass", "melody")
    assert mixes(band, only=["comping"])[0].parts == ("guitar", "keys")
    assert mixes(band, without=["keys"])[0].suffix == "_without-keys"


def test_without_each_leaves_out_each_player_and_keeps_the_click() -> None:
    _, *others = mixes(PARTS, without_each=True)
    assert [set(PARTS) - set(mix.parts) for mix in others] == [{player} for player in PLAYERS]


def test_stems_are_every_part_by_itself_and_not_mastered() -> None:
    _, *stems = mixes(PARTS, stems=True)
    assert [(stem.parts, stem.mastered) for stem in stems] == [((p,), False) for p in PARTS]


@given(some_parts, some_parts)
def test_stems_together_are_what_the_main_mix_holds(without: set[str], only: set[str]) -> None:
    try:
        main, *stems = mixes(PARTS, stems=True, without=without, only=only)
    except GrooveError:
        return
    assert sorted(part for stem in stems for part in stem.parts) == sorted(main.parts)


@given(some_parts, some_parts)
def test_no_two_files_have_the_same_name(without: set[str], only: set[str]) -> None:
    try:
        made = mixes(PARTS, stems=True, without_each=True, without=without, only=only)
    except GrooveError:
        return
    assert len({mix.suffix for mix in made}) == len(made)


@given(some_parts, some_parts)
def test_no_player_left_is_an_error_and_only_that_is(without: set[str], only: set[str]) -> None:
    left = (set(PLAYERS) & only if only else set(PLAYERS)) - without
    if only == {CLICK} and CLICK in without:
        return
    with nullcontext() if left else pytest.raises(GrooveError, match="no player"):
        mixes(PARTS, without=without, only=only)


def test_each_mix_is_written_in_every_format() -> None:
    asked = wanted("wav,mp3", {"stems": True})
    files = audio_files(Path("out/ferry_G_112"), ("drums", "bass"), asked)
    assert [file.path.name for file in files] == [
        f"ferry_G_112{part}.{format_}"
        for part in ("", "_drums", "_bass")
        for format_ in ("wav", "mp3")
    ]
