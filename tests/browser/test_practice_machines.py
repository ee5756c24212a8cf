"""The practice machines as they sound: drop-outs and trades, rests, clicks and clean rounds.

Bars of the form in A at 120 last two seconds.
"""

from __future__ import annotations

from bisect import bisect_right
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.browser.practice_material import RATE, go_to, notes_of, played_by_clock, sound_of

BAR = 3840
SPEAKS = 0.003
"""Seconds in which a string that is struck is loud enough to be found."""
START = "#tempo=120&countin=off"
BAND = ("drums", "bass", "comping")

Note = dict[str, Any]


def set_to(page: Any, fragment: str = "") -> None:
    """Sets the page as a link does."""
    go_to(page, f"{START}&{fragment}")


def bar_of(note: Note) -> int:
    return int((note["tick"] + 1e-6) // BAR)


def of(notes: list[Note], *parts: str) -> list[Note]:
    return [note for note in notes if note["part"] in parts]


def struck(note: Note) -> tuple[str, int, int, float]:
    return (note["part"], note["pitch"], note["velocity"], round(note["at"], 9))


def bars_with(notes: list[Note], *parts: str) -> list[int]:
    return sorted({bar_of(note) for note in of(notes, *parts)})


def is_held(note: Note, whole: list[Note]) -> bool:
    """Whether a note goes on with one that begins before its bar line."""
    return note["tick"] % BAR == 0 and any(
        before["part"] == note["part"]
        and before["pitch"] == note["pitch"]
        and 0 < note["at"] - before["at"] < before["seconds"]
        for before in whole
    )


@pytest.mark.parametrize(
    ("machine", "silent"),
    [
        ("turns=4-2-band", BAND),
        ("turns=2-2-pitched", BAND[1:]),
        ("solo=example&turns=2-2-solo", ("solo",)),
        ("solo=example&turns=1-3-pitched", ("solo", *BAND[1:])),
    ],
)
def test_in_the_student_s_bars_the_right_players_are_silent_and_all_others_play_as_without(
    shared: Any, machine: str, silent: tuple[str, ...]
) -> None:
    """Note by note. At a bar line where a player comes back, notes that he would hold go on."""
    solo, turns = machine.rpartition("&")[::2]
    band, out = map(int, turns.removeprefix("turns=").split("-")[:2])
    set_to(shared, solo)
    whole = of(notes_of(shared, 19), *BAND, "solo")
    set_to(shared, machine)
    found = of(notes_of(shared, 19), *BAND, "solo")
    wanted = [n for n in whole if n["part"] not in silent or bar_of(n) % (band + out) < band]
    assert {struck(note) for note in wanted} <= {struck(note) for note in found}
    added = [n for n in found if struck(n) not in {struck(note) for note in wanted}]
    assert all(is_held(note, whole) and bar_of(note) % (band + out) == 0 for note in added)
    assert len(wanted) < len(whole)
    for note in of(found, *silent):
        if note["part"] != "drums":
            ends = (bar_of(note) // (band + out) * (band + out) + band) * 2
            assert note["at"] - note["touch"] + note["seconds"] <= ends + 1e-9


def test_the_sound_of_a_drop_out_is_that_of_the_whole_band_until_it_stops_and_again_afterwards(
    shared: Any,
) -> None:
    """Sample by sample, of 16 bits: the order in which the voices are added may turn the last. Two
    bars' band, two bars' silence; at the end of the first something is missing as soon as a note
    of the next bar would begin, a little before its bar line. Afterwards the band's first notes
    go on where they would be held, and the room answers only to what was played."""
    set_to(shared)
    whole = sound_of(shared, 11, silent=("click",))
    set_to(shared, "turns=2-2-band")
    notes = of(notes_of(shared, 11), *BAND)
    found = sound_of(shared, 11, silent=("click",))
    same = np.abs(found - whole) < 1.5 / 32768
    bar = 2 * RATE
    stops = min(n["at"] for n in notes_without_machine(shared, 6) if bar_of(n) == 2)
    assert 2 * bar - 0.05 * RATE < stops * RATE <= 2 * bar
    assert same[: int(stops * RATE) - 64].all()
    assert np.abs(found[3 * bar : 4 * bar - RATE // 20]).max() < 1e-3
    assert np.abs(found[:bar]).max() > 0.5
    returns = np.nonzero(np.abs(found[3 * bar :]) > 2e-3)[0][0] + 3 * bar
    first = min(note["at"] for note in notes if bar_of(note) == 4)
    assert 0 <= returns / RATE - first < SPEAKS
    assert abs(first - 8) < 0.03  # by the players' touch
    assert same[4 * bar + RATE :].all()


def notes_without_machine(page: Any, seconds: float) -> list[Note]:
    set_to(page)
    return of(notes_of(page, seconds), *BAND)


def test_a_soloist_comes_back_on_the_bar_line_as_if_he_had_played_on(shared: Any) -> None:
    set_to(shared, "solo=example")
    whole = sound_of(shared, 10, silent=("click",))
    set_to(shared, "solo=example&turns=2-2-solo")
    same = np.abs(sound_of(shared, 10, silent=("click",)) - whole) < 1.5 / 32768
    bar = 2 * RATE
    assert same[: 2 * bar].all()
    assert not same[2 * bar : 4 * bar].all()
    assert same[4 * bar : 5 * bar].all()


@pytest.mark.parametrize(
    ("machine", "always", "mixed"),
    [
        ("turns=2-1-band", [], [0, 1, 3, 4]),
        ("turns=2-1-band-click", [2, 5], [0, 1, 3, 4]),
        ("turns=2-1-pitched", [], [0, 1, 2, 3, 4, 5]),
        ("turns=2-1-pitched-click", [2, 5], [0, 1, 3, 4]),
        ("alone=on", [0, 1, 2, 3, 4, 5], []),
        ("alone=on&turns=2-1-band-click", [0, 1, 3, 4], []),
    ],
)
def test_the_click_is_heard_in_the_student_s_bars_as_it_is_asked_for(
    shared: Any, machine: str, always: list[int], mixed: list[int]
) -> None:
    """A click of the count-in sounds also where that of the mix is silent."""
    set_to(shared, machine)
    notes = notes_of(shared, 11.9)
    assert bars_with(notes, "count-in") == always
    assert bars_with(notes, "click") == mixed
    for part in ("count-in", "click"):
        assert [n["at"] for n in of(notes, part)] == [
            2 * bar + beat / 2 for bar in bars_with(notes, part) for beat in range(4)
        ]
    if machine.startswith("alone"):
        assert of(notes, *BAND) == []


def test_the_click_on_backbeats_and_on_one_keeps_to_the_metre(shared: Any) -> None:
    for beats, places in {"backbeats": {1, 3}, "one": {0}, "all": {0, 1, 2, 3}}.items():
        set_to(shared, f"beats={beats}")
        clicks = of(notes_of(shared, 8), "click")
        assert {click["tick"] % BAR / 960 for click in clicks} == places
        assert len({click["velocity"] for click in clicks}) == (2 if beats == "all" else 1)


def test_repeats_have_bars_of_rest_between_them_and_are_counted_in(shared: Any) -> None:
    """Two bars, two of rest, one to count in: rounds begin each ten seconds. In rests all is silent
    but for a click that is asked for."""
    set_to(shared, "bars=3-4&rest=2&recount=on")
    notes = notes_of(shared, 24)
    ons = sorted(note["at"] - note["touch"] for note in of(notes, *BAND))
    assert all(at % 10 < 4 + 1e-6 or at % 10 > 10 - 1e-6 for at in ons)
    assert {round(at // 10) for at in ons} == {0, 1, 2}
    counted = [8 + beat / 2 for beat in range(4)]
    assert [n["at"] for n in of(notes, "count-in")] == [*counted, *(10 + at for at in counted)]
    set_to(shared, "bars=3-4&rest=2-click&beats=one")
    assert [n["at"] for n in of(notes_of(shared, 17), "count-in")] == [4, 6, 12, 14]
    ends = {note["at"] + note["seconds"] - note["touch"] for note in of(notes, *BAND[1:])}
    assert max(end % 10 for end in ends if end < 9) <= 4 + 1e-9


def test_a_form_that_is_played_once_has_no_rest_before_its_ending(shared: Any) -> None:
    set_to(shared, "rounds=1")
    once = [struck(note) for note in notes_of(shared, 30)]
    set_to(shared, "rounds=1&rest=4&recount=on")
    assert [struck(note) for note in notes_of(shared, 30)] == once


@pytest.mark.parametrize("change", [{"tempo": 90}, {"key": 3}, {"bars": [5, 12]}])
@pytest.mark.parametrize("ahead", [0.25, 2.5])
def test_turns_go_on_through_a_change_of_tempo_key_and_bars(
    shared: Any, change: dict[str, Any], ahead: float
) -> None:
    """At 5.3 seconds, in the student's bars 3 and 4; 2.5 seconds are handed on in a hidden page.
    Bars that are played are counted: where others begin, at 6 seconds, it is his fourth."""
    set_to(shared, "turns=2-2-band-click")
    notes = notes_of(shared, 16, 5.3, ahead, **change)
    beats = [n for n in notes if n["part"] in ("click", "count-in")]
    assert [n["part"] for n in beats[:24]] == [*["click"] * 8, *["count-in"] * 8, *["click"] * 8]
    length = 60 / 90 if "tempo" in change else 1 / 2
    gaps = np.diff([n["at"] for n in beats])
    assert gaps[12:] == pytest.approx(length, abs=1e-9)
    mine = [beats[n]["at"] for n in (8, 16)]
    for note in of(notes, *BAND):
        at = note["at"] - note["touch"]
        assert not mine[0] + 1e-6 < at < mine[1] - 1e-6
    if "bars" in change:
        assert [bar_of(beats[n]) for n in (8, 12, 16)] == [2, 4, 5]


@pytest.mark.parametrize("ahead", [0.25, 2.5])
def test_turns_that_are_set_while_it_plays_begin_at_the_next_bar_line(
    shared: Any, ahead: float
) -> None:
    """At 5.3 seconds, in bar 3: the band plays bar 4, rests in bar 5, and so on; switched off there
    it is back in the next bar."""
    set_to(shared)
    notes = notes_of(
        shared, 16, 5.3, ahead, machine={"turns": True, "band": 1, "out": 1, "silent": "band"}
    )
    assert bars_with(notes, *BAND) == [0, 1, 2, 3, 5, 7]
    set_to(shared, "turns=1-7-band")
    notes = notes_of(shared, 16, 5.3, ahead, machine={"turns": False})
    assert bars_with(notes, *BAND) == [0, 3, 4, 5, 6, 7]


JUDGED = """({ seconds, judged }) => {
  const { track } = practice;
  const settings = practice.settings.copy();
  const silent = { strike() {}, takeBack() {}, silence() {} };
  const player = new practice.Player(track, silent, settings);
  player.start(0);
  const rounds = [];
  for (let now = 0; now < seconds; now += 0.05) {
    player.advance(now + 0.3, now);
    for (const [at, isClean] of judged) {
      if (Math.abs(now - at) > 0.02) continue;
      const { tempo, key } = settings;
      player.judge(isClean, now);
      if (settings.key !== key) player.rejoin(now + 0.03);
      if (settings.tempo !== tempo) player.retime(now + 0.03);
    }
    const { round, tempo, key } = player.placeAt(now);
    rounds[round] = [tempo, track.keys[key].name];
  }
  return rounds;
}"""
"""Tempo and key at the end of each round, where the student says at some times what was clean."""


@pytest.mark.parametrize(
    ("machine", "judged", "tempi"),
    [
        ("faster=10", [], [120, 130, 140, 150]),
        ("faster=10&clean=2", [], [120, 120, 130, 130, 140]),
        # Not clean: the count begins again. The first bar of a round is for the one before.
        ("faster=10&clean=2", [[3, False]], [120, 120, 120, 130, 130]),
        ("faster=10&clean=2", [[4.1, False]], [120, 120, 120, 130, 130]),
        # The step is taken back where it came too early.
        ("faster=10&clean=2", [[8.2, False]], [120, 120, 120, 120, 130]),
        ("faster=10&clean=1-asked", [], [120, 120, 120, 120]),
        ("faster=10&clean=1-asked", [[3, True], [8.2, True]], [120, 130, 140, 140]),
        ("faster=10&clean=1-asked", [[4.1, True], [4.6, False]], [120, 120, 120]),
    ],
)
def test_tempo_goes_on_after_clean_rounds(
    shared: Any, machine: str, judged: list[Any], tempi: list[int]
) -> None:
    """Rounds of two bars, four seconds at 120."""
    set_to(shared, f"bars=1-2&{machine}")
    found = shared.evaluate(JUDGED, {"seconds": 18, "judged": judged})
    assert [tempo for tempo, _ in found][: len(tempi)] == tempi


def test_the_key_goes_on_with_the_tempo_and_comes_back_with_it(shared: Any) -> None:
    set_to(shared, "bars=1-2&next=fourths&clean=2")
    keys = [key for _, key in shared.evaluate(JUDGED, {"seconds": 19, "judged": []})]
    assert keys == ["A", "A", "D", "D", "G"]
    judged = [[8.3, False]]
    keys = [key for _, key in shared.evaluate(JUDGED, {"seconds": 19, "judged": judged})]
    assert keys == ["A", "A", "A", "A", "D"]


TOLD = """(seconds) => {
  const { track, settings } = practice;
  const silent = { strike() {}, takeBack() {}, silence() {} };
  const player = new practice.Player(track, silent, settings);
  player.start(0);
  const told = [];
  for (let now = 0.01; now < seconds; now += 0.1) {
    player.advance(now + 0.3, now);
    const place = player.placeAt(now);
    const words = player.toldAt(place);
    told.push(words && `${words.name} ${words.left}`);
  }
  return told.filter((words, n) => words !== told[n - 1]);
}"""
"""What is told as it plays, each time that it changes."""


@pytest.mark.parametrize(
    ("machine", "told"),
    [
        ("turns=2-1-band", ["band 2", "band 1", "out 1", "band 2"]),
        ("solo=example&turns=1-2-solo", ["listen 1", "you 2", "you 1", "listen 1"]),
        ("solo=off&turns=1-2-solo", [None]),
        ("turns=1-1-pitched", ["band 1", "you_drums 1", "band 1", "you_drums 1"]),
        ("solo=answers", ["call 2", "call 1", "answer 2", "answer 1"]),
        ("bars=1&rest=2", [None, "rest 2", "rest 1", None]),
        ("alone=on", ["alone null"]),
        ("alone=on&turns=2-1-band", ["ticks 2", "ticks 1", "quiet 1", "ticks 2"]),
    ],
)
def test_it_is_told_whose_turn_it_is_and_for_how_many_bars(
    shared: Any, machine: str, told: list[str | None]
) -> None:
    set_to(shared, machine)
    assert shared.evaluate(TOLD, 7.9) == told


def test_calls_are_where_the_solo_calls(shared: Any) -> None:
    set_to(shared, "solo=answers")
    bars = {bar_of(note) % 12 for note in of(notes_of(shared, 48), "solo")}
    assert {0, 4, 8} <= bars <= {0, 1, 4, 5, 8, 9}


def on_road(page: Any, fragment: str) -> list[dict[str, Any]]:
    """The notes of 80 seconds of a road, which goes on after 30, each with its bar."""
    lines = page.evaluate("practice.track.road.lineTicks")
    heard = played_by_clock(page, fragment=fragment, goOnAt=30, seconds=80)["heard"]
    return [note | {"bar": bisect_right(lines, note["tick"] + 1e-6)} for note in heard]


def test_turns_are_counted_through_open_lines_of_a_road(shown: Any, road_page: Path) -> None:
    """Of 23 bars, 5 to 16 are an open line that goes round until Go on. Three bars with the band,
    two without, in the order in which bars are played."""
    page = shown("#countin=off", road_page)
    heard = on_road(page, "#countin=off&turns=3-2-band")
    whole = on_road(page, "#countin=off")
    order = [*range(1, 5), *range(5, 17), *range(5, 11), *range(17, 24)]
    number = 0
    clicks: list[tuple[int, bool]] = []
    for note in whole:
        if note["part"] == "click" and (not clicks or clicks[-1][0] != note["bar"]):
            clicks.append((note["bar"], number % 5 < 3))
            number += 1
    assert [bar for bar, _ in clicks] == order[:-1]  # the last bar is a fermata, without beats
    played = [note["bar"] for note in heard if note["part"] == "click"]
    assert [bar for n, bar in enumerate(played) if n == 0 or played[n - 1] != bar] == [
        bar for bar, sounds in clicks if sounds
    ]


def test_a_line_of_a_road_rests_between_repeats_and_its_pick_up_is_in_the_count_in(
    shown: Any, road_page: Path
) -> None:
    page = shown("", road_page)
    fragment = "#tempo=120&bars=1-4&rest=1&recount=on"
    heard = played_by_clock(page, fragment=fragment, seconds=30)["heard"]
    pickups = [n for n in heard if n["tick"] < 0 and n["part"] in ("bass", "comping")]
    counts = [n for n in heard if n["part"] == "count-in"]
    assert len(counts) % 4 == 0
    assert len(counts) >= 8
    assert {n["tick"] for n in counts} == {-3840, -2880, -1920, -960}
    assert len(pickups) >= len(counts) // 4


PAUSED = """({ machine, seconds }) => {
  const { track } = practice;
  const settings = practice.settings.copy();
  let notes = [];
  const takeBack = (parts, at) => {
    notes = notes.filter((note) => note.at < at || !parts.includes(note.part));
  };
  const band = { strike() {}, takeBack, silence: takeBack };
  const player = new practice.Player(track, band, settings, (note) => notes.push(note));
  player.start(0);
  for (let now = 0; now <= 5; now += 0.1) player.advance(now + 0.3, now);
  player.pause(5);
  if (machine) { settings.setMachine(machine); player.changeTurns(5); }
  player.goOnAt(20);
  for (let now = 20; now < 20 + seconds; now += 0.1) player.advance(now + 0.3, now);
  return notes;
}"""


@pytest.mark.parametrize(
    ("machine", "bars"), [(None, [0, 1, 4, 5]), ({"band": 1, "out": 3}, [0, 1, 2, 6])]
)
def test_a_pause_is_no_bar_and_turns_that_are_set_in_it_begin_anew(
    shared: Any, machine: dict[str, Any] | None, bars: list[int]
) -> None:
    """Paused in the middle of bar 3, the first of the student's two, and gone on there."""
    set_to(shared, "turns=2-2-band")
    notes = shared.evaluate(PAUSED, {"machine": machine, "seconds": 8})
    assert bars_with(notes, *BAND) == bars
    begun = min(n["at"] - n["touch"] for n in of(notes, *BAND) if n["at"] > 20)
    assert begun == pytest.approx(23 if machine is None else 20, abs=0.6)
