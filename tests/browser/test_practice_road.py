"""The practice page of an arrangement: its road is seen, played, looped and written to a file."""

from __future__ import annotations

from itertools import groupby
from pathlib import Path
from typing import Any

import mido
import pytest

from tests.browser.practice_material import downloaded, played_by_clock


def bars(page: Any, found: Any) -> list[int]:
    """The bars that are begun, by the clicks on their first beats."""
    ticks = [n["tick"] for n in found["heard"] if n["part"] == "click"]
    lines = page.evaluate("practice.track.road.lineTicks")
    begun = [lines.index(tick) + 1 for tick in ticks if tick in lines[:-1]]
    return [bar for bar, _ in groupby(begun)]


@pytest.fixture
def road(shown: Any, road_page: Path) -> Any:
    return shown("#countin=off", road_page)


def test_the_road_is_played_once_and_an_open_line_goes_round_until_go_on(road: Any) -> None:
    """At 120 the head lasts 7 seconds and a time of the solos 10."""
    line = [*range(5, 17)]
    found = bars(road, played_by_clock(road, seconds=50))
    assert found[:30] == [*range(1, 5), *line, *line, 5, 6]
    ended = played_by_clock(road, goOnAt=30)
    assert ended["stage"] == "stopped"
    # Bar 23 begins with its fermata, in which no beat is counted.
    assert bars(road, ended) == [*range(1, 5), *line, *range(5, 11), *range(17, 23)]


def test_go_on_in_the_last_time_leads_on_without_a_seam(road: Any) -> None:
    assert bars(road, played_by_clock(road, goOnAt=20)) == [*range(1, 23)]


def test_bars_from_the_middle_on_lead_to_the_end_and_a_loop_goes_round(road: Any) -> None:
    assert bars(road, played_by_clock(road, first=18)) == [*range(18, 23)]
    found = bars(road, played_by_clock(road, first=17, last=20, seconds=20))
    assert found[:9] == [17, 18, 19, 20, 17, 18, 19, 20, 17]
    assert bars(road, played_by_clock(road, first=5, last=16, again=1)) == [*range(5, 17)]


def test_a_jump_goes_to_its_section_at_the_next_bar_line(road: Any) -> None:
    found = bars(road, played_by_clock(road, jumpAt=5, jumpTo=17))
    assert found == [1, 2, 3, 17, 18, 19, 20, 21, 22]


def test_the_beats_are_those_of_each_metre_and_a_fermata_has_none(road: Any) -> None:
    found = played_by_clock(road, first=8, last=23, goOnAt=1)
    lines = road.evaluate("practice.track.road.lineTicks")
    ticks = [n["tick"] for n in found["heard"] if n["part"] == "click"]
    counts = {
        bar: sum(lines[bar - 1] <= tick < lines[bar] for tick in ticks)
        for bar in (8, 9, 17, 21, 23)
    }
    assert counts == {8: 2, 9: 3, 17: 4, 21: 2, 23: 0}


def test_a_moved_line_keeps_its_distance_in_every_key(road: Any) -> None:
    road.fill("#from", "17")
    road.dispatch_event("#from", "change")
    first = "#chart .bar:first-child .chord"
    assert road.inner_text(first) == "D"
    road.select_option("#key", label="E♭")
    assert road.inner_text(first) == "F"
    assert "F major" in road.inner_text("#stand-title")


def test_the_road_shows_lines_times_and_sections_and_the_chart_its_words(
    opened: Any, road_page: Path
) -> None:
    road = opened("#countin=off", road_page)
    assert road.locator("#road li").count() == 4
    assert road.locator("#road .line").all_inner_texts() == ["head", "solos", "up a tone", "Slow"]
    assert road.locator("#road .time").all_inner_texts() == ["1", "2"]
    first = "#chart .bar:first-child .told"
    assert road.inner_text(first) == "4/4 · softly · bass out"
    road.click("#road li:nth-child(4) .line")
    assert road.input_value("#from") == "21"
    assert road.inner_text(first).startswith("6/8 · dotted quarter = 60")
    assert road.locator("#chart .told").all_inner_texts()[1:] == ["rit.", "fermata"]
    road.select_option("#press", "stay")
    road.click("#road .part >> text=B")
    assert [road.input_value(field) for field in ("#from", "#to")] == ["9", "10"]
    assert road.is_checked("#for-ever")
    assert road.get_attribute("#road .part >> text=B", "aria-pressed") == "true"
    assert road.inner_text("#chart .section-name >> nth=1") == "B, F major"
    chords = ["C", "~F", "G7", "G7", "F", "N.C."]
    assert road.locator("#chart .chord").all_inner_texts() == chords
    road.click("#whole-form")
    assert not road.is_checked("#for-ever")
    assert road.seen.complaints == []


def test_the_button_that_ends_an_open_line_says_where_it_leads(road: Any) -> None:
    road.fill("#tempo", "320")
    road.dispatch_event("#tempo", "change")
    road.click("#play")
    road.wait_for_selector("#go-on:visible", timeout=20_000)
    assert road.inner_text("#go-on") == "Go on to up a tone"
    road.click("#go-on")
    assert road.get_attribute("#go-on", "aria-pressed") == "true"
    road.wait_for_function(
        "() => document.getElementById('bar-number').textContent.includes('up a tone')",
        timeout=20_000,
    )
    assert road.is_hidden("#go-on")


def test_no_next_chord_is_shown_where_bars_of_one_chord_go_round(road: Any) -> None:
    """Bars 3 and 4 have the V7: a loop of bar 3 ends inside it, and its first chord comes again."""
    road.evaluate("practice.settings.setLoop(3, 3)")
    road.select_option("#key", label="C")
    road.fill("#to", "3")
    road.dispatch_event("#to", "change")
    assert (road.inner_text("#chord-now"), road.inner_text("#chord-next")) == ("G7", "")
    assert road.evaluate("practice.view.cards.next.chord.name") == "G7"


def test_the_midi_file_has_the_signatures_keys_and_markers_of_the_road(road: Any) -> None:
    road.evaluate("Object.assign(practice.settings, { countIn: false })")
    midi = mido.MidiFile(downloaded(road, "#get-midi"))
    found: dict[str, list[Any]] = {"time_signature": [], "key_signature": [], "marker": []}
    now = 0
    for message in midi.tracks[0]:
        now += message.time
        if message.type == "time_signature":
            found[message.type].append(f"{message.numerator}/{message.denominator}")
        elif message.type == "key_signature":
            found[message.type].append(message.key)
        elif message.type == "marker":
            found[message.type].append(message.text)
    a, b = ["4/4", "2/4"], ["3/4"]
    assert found["time_signature"] == [*a, *a, *b, *a, *b, *a, "6/8"]
    assert found["key_signature"] == ["C", "F", "C", "F", "D", "C"]
    assert found["marker"] == [
        "head: A", "solos 1 of 2: A", "solos 1 of 2: B", "solos 2 of 2: A", "solos 2 of 2: B",
        "up a tone: A", "Slow", "Ending",
    ]  # fmt: skip


def test_no_rule_of_accessibility_is_broken_on_a_road(road: Any, axe: str) -> None:
    road.evaluate(axe)
    found = road.evaluate("axe.run().then((found) => found.violations.map((rule) => rule.id))")
    assert found == []
