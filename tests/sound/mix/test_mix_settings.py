"""The mix settings are those in the data, and a stroke is weighed as they say."""

from __future__ import annotations

from dataclasses import replace
from math import log10

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove import library
from groove.band.part import PLAYERS
from groove.rhythm.kit import KIT, KITS
from groove.rhythm.patterns import drum_pattern
from groove.sound.mix.mix_settings import Compressor, MixSettings, mix_settings_of
from groove.sound.synth.scores import scores
from tests.cases import in_turn
from tests.sound.sound_material import midi_of

SNARE, LOW_TOM = KIT["snare"].note, KIT["tom-low"].note
velocities = st.integers(1, 127)


def decibels(given_: int, velocity: int) -> float:
    """The level of a velocity in soundfonts, which goes with its square."""
    return 40 * log10(given_ / velocity)


@in_turn("drums", library.names("drums"))
def test_every_drum_pattern_has_a_balance_for_every_player(drums: str) -> None:
    assert set(PLAYERS) <= set(mix_settings_of(drum_pattern(drums)).balance)


@in_turn("drums", library.names("drums"))
def test_comping_is_wanted_a_little_under_drums_and_bass(drums: str) -> None:
    """By 2 to 4 LU, to leave the front and half of the middle register to a soloist."""
    wanted = mix_settings_of(drum_pattern(drums)).balance
    assert 2 <= (wanted["drums"] + wanted["bass"]) / 2 - wanted["comping"] <= 4


def test_every_balance_is_for_a_family_that_there_is() -> None:
    content = library.table("mix")
    families = {drum_pattern(n).family for n in library.names("drums")}
    assert set(content["balance"]["families"]) == families


@given(velocities)
def test_settings_without_weights_leave_velocities_as_they_are(velocity: int) -> None:
    assert MixSettings().velocity("drums", SNARE, velocity) == velocity


@given(velocities, velocities)
def test_a_harder_stroke_is_never_softer(one: int, other: int) -> None:
    soft, hard = sorted((one, other))
    settings = mix_settings_of(drum_pattern("eighths-rock"))
    assert settings.velocity("drums", SNARE, soft) <= settings.velocity("drums", SNARE, hard)


def test_half_the_weight_is_half_the_decibels() -> None:
    settings = MixSettings(weight={"bass": 0.5})
    assert decibels(settings.velocity("bass", 40, 32), 127) == pytest.approx(
        decibels(32, 127) / 2, abs=0.2
    )


def test_a_trim_softens_its_piece_of_the_drums_alone() -> None:
    settings = MixSettings(kit={LOW_TOM: -3})
    assert decibels(settings.velocity("drums", LOW_TOM, 100), 100) == pytest.approx(-3, abs=0.2)
    assert settings.velocity("drums", SNARE, 100) == settings.velocity("bass", LOW_TOM, 100) == 100


def test_weighing_changes_nothing_but_how_hard_notes_are_struck() -> None:
    (score,) = scores(midi_of({9: [(0, 1, SNARE, 32), (1, 1, SNARE, 127), (2, 1, SNARE, 32)]}))
    weighed = MixSettings(weight={"drums": 0.5}).weigh(score)
    struck = [e.message.velocity for e in weighed.events if e.message.type == "note_on"]
    assert [velocity for velocity in struck if velocity] == [64, 127, 64]
    as_before = [
        replace(after, message=before.message, written=0)
        for after, before in zip(weighed.events, score.events, strict=True)
    ]
    assert as_before == list(score.events)
    assert [event.strength for event in weighed.events if event.written] == [
        event.message.velocity for event in score.events if event.message.type == "note_on"
    ]


def test_the_score_that_is_weighed_stays_as_it_is() -> None:
    (score,) = scores(midi_of({9: [(0, 1, SNARE, 32)]}))
    MixSettings(weight={"drums": 0.5}).weigh(score)
    assert score.events[0].message.velocity == 32


@pytest.mark.parametrize("figures", [(-1, 2), (10, 0.5), (float("nan"), 2)])
def test_a_compressor_that_is_none_is_refused(figures: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="above >= 0"):
        Compressor(*figures)


def test_pieces_that_a_kit_has_louder_are_softened_in_that_kit_alone() -> None:
    own = mix_settings_of(drum_pattern("train-beat"))
    other = mix_settings_of(drum_pattern("train-beat"), "standard")
    hat, snare = KIT["hat"].note, KIT["snare"].note
    assert own.velocity("drums", hat, 80) < other.velocity("drums", hat, 80)
    assert own.velocity("drums", snare, 80) > other.velocity("drums", snare, 80)
    assert set(library.table("mix")["kits"]) == set(KITS) - {"standard"}
