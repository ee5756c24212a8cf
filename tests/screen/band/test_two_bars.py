"""The two bars in which a pattern of a form is heard."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from groove import read_form
from groove.band.part import CHORDAL
from groove.errors import GrooveError
from groove.rhythm.kit import INSTRUMENTS, KIT
from groove.screen.band.two_bars import Wish, two_bars
from groove.theory.keys import Key


def parts_of(wish: Wish, form: Any = "jazz-twelve-bar", **fields: Any) -> dict[str, Any]:
    bars = two_bars(read_form(form, **fields), wish)
    return {part.name: part for part in bars.take.parts}


@pytest.mark.parametrize(
    ("wish", "played", "soft"),
    [
        (Wish("drums", "two-beat"), ["drums"], ()),
        (Wish("bass", "walking"), ["drums", "bass"], ("drums",)),
        (Wish("comping", "charleston-piano"), ["drums", "bass", "comping"], ("drums", "bass")),
        (Wish("percussion", "shaker"), ["drums", "percussion"], ("drums",)),
        (Wish("drums", "two-beat", whole=True), ["drums", "bass", "comping"], ()),
    ],
    ids=lambda each: each.kind if isinstance(each, Wish) else "",
)
def test_a_player_is_heard_with_those_it_leans_on(
    wish: Wish, played: list[str], soft: tuple[str, ...]
) -> None:
    bars = two_bars(read_form("jazz-twelve-bar"), wish)
    assert [part.name for part in bars.take.parts] == played
    assert bars.soft == soft


@pytest.mark.parametrize("name", ["two-beat", "bossa", "waltz"])
def test_it_lasts_two_bars_without_a_crash_and_without_a_fill(name: str) -> None:
    bars = two_bars(read_form("jazz-twelve-bar", tempo=160), Wish("drums", name))
    notes = bars.take.parts[0].notes
    meter = bars.take.chart.bars[0].meter
    assert bars.end == 2 * meter.bar_ticks
    assert max(note.start + note.length for note in notes) <= bars.end
    assert KIT["crash"].note not in {note.pitch for note in notes}


def test_the_chords_are_those_of_the_first_two_bars_in_the_form_s_key_and_tempo() -> None:
    bars = two_bars(read_form("rhythm-changes", key="F", tempo=130), Wish("bass", "walking"))
    sounding = [str(slot.chord) for bar in bars.take.chart.bars[:2] for slot in bar.slots]
    assert sounding == ["F6", "D7", "Gm7", "C7"]
    assert (bars.take.chart.form.tempo, bars.take.chart.bars[0].key.symbol) == (130, "F")


def test_another_tempo_and_key_that_are_set_just_now_are_heard() -> None:
    wish = Wish("bass", "walking", tempo=90, key=Key.parse("Ab"))
    bars = two_bars(read_form("rhythm-changes", key="F", tempo=130), wish)
    sounding = [str(slot.chord) for bar in bars.take.chart.bars[:2] for slot in bar.slots]
    assert (bars.take.chart.form.tempo, sounding) == (90, ["Ab6", "F7", "Bbm7", "Eb7"])


def test_where_no_chord_sounds_yet_the_tonic_does(tmp_path: Path) -> None:
    file = tmp_path / "quiet.toml"
    file.write_text('key = "C"\nfeel = "straight"\nchords = "| NC | NC | Am7 | G7 |"')
    bars = two_bars(read_form(file), Wish("bass", "root-fifth"))
    slots = [slot for bar in bars.take.chart.bars[:2] for slot in bar.slots]
    assert {(str(slot.chord), slot.silent) for slot in slots} == {("C", False)}


def test_a_pattern_that_does_not_fit_is_heard_in_its_own_metre_with_those_it_goes_with() -> None:
    bars = two_bars(read_form("jazz-twelve-bar"), Wish("bass", "waltz-walk"))
    first = bars.take.chart.bars[0]
    assert str(first.meter) == "3/4"
    assert first.drums.bass == "waltz-walk"


def test_another_instrument_plays_the_pattern_that_is_there() -> None:
    chosen = (("comping", "vibraphone"),)
    parts = parts_of(Wish("comping", instruments=chosen))
    usual = parts_of(Wish("comping"))
    name = next(iter(set(CHORDAL) & set(parts)))
    assert parts[name].program == INSTRUMENTS["vibraphone"].program != usual[name].program
    assert parts[name].notes == usual[name].notes


@pytest.mark.parametrize("wish", [Wish("melody"), Wish("drums", "../forms/twelve-bar")])
def test_a_pattern_that_there_is_not_is_refused(wish: Wish) -> None:
    with pytest.raises(GrooveError, match="no such pattern"):
        two_bars(read_form("jazz-twelve-bar"), wish)
