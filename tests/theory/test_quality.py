"""Qualities of chords. Source: common practice; contents are compared in tests/references."""

import pytest
from hypothesis import given

from groove.theory.quality import Quality, parse_quality
from tests.cases import in_turn
from tests.theory.chord_material import SPELLINGS, WAYS, qualities


@pytest.mark.parametrize("written", SPELLINGS)
def test_canonical_suffix_reads_back_as_itself(written: str) -> None:
    assert parse_quality(written).suffix == written


@in_turn(("way", "written"), WAYS)
def test_all_ways_of_writing_have_the_same_degrees(way: str, written: str) -> None:
    assert parse_quality(way) == parse_quality(written)


@given(qualities())
def test_every_chord_has_its_root(quality: Quality) -> None:
    assert quality.degrees[0].fifths == 0


@given(qualities())
def test_no_degree_stands_twice(quality: Quality) -> None:
    assert len(set(quality.degrees)) == len(quality.degrees)


@pytest.mark.parametrize(
    ("suffix", "third", "seventh"),
    [
        ("7", "3", "b7"), ("m7", "b3", "b7"), ("maj7", "3", "7"), ("6", "3", "6"),
        ("dim7", "b3", "bb7"), ("7sus4", "4", "b7"), ("sus2", "2", "None"), ("5", "None", "None"),
        ("7alt", "3", "b7"), ("m(maj7)", "b3", "7"),
    ],
)  # fmt: skip
def test_guide_tones_are(suffix: str, third: str, seventh: str) -> None:
    quality = parse_quality(suffix)
    assert (str(quality.third), str(quality.seventh)) == (third, seventh)
    assert [str(d) for d in quality.guide_tones] == [d for d in (third, seventh) if d != "None"]


@pytest.mark.parametrize("suffix", ["7", "9", "13", "7sus4", "7alt", "7b5", "7#5"])
def test_is_dominant(suffix: str) -> None:
    assert parse_quality(suffix).is_dominant


@pytest.mark.parametrize("suffix", ["", "m7", "maj7", "6", "m7b5", "dim7", "5", "m(maj7)"])
def test_is_not_dominant(suffix: str) -> None:
    assert not parse_quality(suffix).is_dominant
