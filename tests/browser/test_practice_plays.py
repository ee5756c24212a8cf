"""The practice page as it plays: on time, in the key and at the tempo that are asked for."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile

import groove
from groove.form.read import read_form
from groove.form.style import swing_ratio
from groove.handout.practice.takes import WAVE
from tests.browser.practice_material import (
    FORM,
    HEAR,
    ON_TIME,
    beats,
    energies,
    go_to,
    notes_of,
    semitones_apart,
    sound_of,
    wait_for_beats,
    wav_of,
)
from tests.handout.practice.page_material import page_of_one_key

SOON_MS = 100


def test_the_first_sound_is_there_within_a_tenth_of_a_second(opened: Any) -> None:
    assert min(_milliseconds_to_sound(opened()) for _ in range(3)) < SOON_MS


def test_play_goes_on_after_a_rest(opened: Any) -> None:
    page = opened("#countin=off")
    page.click("#play")
    page.click("#play")
    page.wait_for_function("() => practice.stage.context.state === 'suspended'")
    page.click("#play")
    page.wait_for_selector(".bar[aria-current]")


def test_once_through_it_comes_to_an_end_by_itself(shown: Any) -> None:
    page = shown("#countin=off&tempo=240&bars=1&rounds=1")
    page.click("#play")
    page.wait_for_function("() => document.getElementById('play-word').textContent === 'Play'")
    assert not page.evaluate("practice.stage.playing")


def _milliseconds_to_sound(page: Any) -> float:
    """From the press to the first note on its way to the loudspeaker, the context's latency in."""
    page.evaluate(
        """() => {
          addEventListener('pointerdown', (e) => (window.pressed = e.timeStamp), true);
          practice.heard = ({ at }) => (window.first ??= at);
        }"""
    )
    page.click("#play")
    waited = page.evaluate(
        """() => new Promise((done) => {
          const look = () => {
            const { context } = practice.stage;
            if (!context.currentTime) return setTimeout(look, 1);
            const now = performance.now() - window.pressed;
            done(now + 1000 * (window.first - context.currentTime + context.baseLatency));
          };
          look();
        })"""
    )
    return float(waited)


@pytest.mark.parametrize("tempo", [40, 97, 240])
def test_beats_are_scheduled_at_the_tempo(shared: Any, tempo: int) -> None:
    page = go_to(shared, f"#tempo={tempo}&countin=off&silent=none")
    notes = notes_of(page, 9)
    gaps = [after - before for before, after in pairwise(beats(notes))]
    assert gaps == pytest.approx([60 / tempo] * len(gaps), abs=ON_TIME)


def test_live_beats_are_on_time_and_ahead_though_the_page_is_busy(opened: Any) -> None:
    page = opened("#tempo=150&silent=none&countin=off")
    page.evaluate(HEAR)
    page.click("#play")
    wait_for_beats(page, 3)
    page.evaluate("() => { const end = performance.now() + 150; while (performance.now() < end); }")
    wait_for_beats(page, 6)
    notes = page.evaluate("window.notes")
    gaps = [after - before for before, after in pairwise(beats(notes))]
    assert gaps == pytest.approx([0.4] * len(gaps), abs=ON_TIME)
    assert min(note["ahead"] for note in notes) > 0


def test_slower_is_more_swung_and_straighter_is_faster(browser: Any, tmp_path: Path) -> None:
    """The place of the off-beats at 100 and at 220, compared with the table of the feel."""
    form = read_form("jazz-twelve-bar", tempo=160, tightness=1.0)
    path = page_of_one_key(form, tmp_path / "swing.html")
    page = browser.new_page()
    for tempo in (100, 220):
        page.goto(f"{path.as_uri()}#tempo={tempo}&countin=off")
        page.reload()
        page.wait_for_function("() => globalThis.practice?.ready")
        ratio = swing_ratio(form.feel, tempo)
        places = [n["tick"] % 960 for n in notes_of(page, 20) if n["part"] == "drums"]
        off = [place for place in places if 400 < place < 900]
        assert np.median(off) == pytest.approx(960 * ratio / (1 + ratio), abs=6)
    page.close()


def test_clicks_are_heard_when_they_are_scheduled(shared: Any) -> None:
    page = go_to(shared, "#tempo=100&countin=off&silent=none")
    sound = sound_of(page, 6, silent=("drums", "bass", "comping"))
    loud = np.abs(sound) > 0.02
    starts = [i for i in np.nonzero(loud)[0] if not loud[max(0, i - 8000) : i].any()]
    assert np.diff(starts) / 44100 == pytest.approx([0.6] * (len(starts) - 1), abs=ON_TIME)
    assert len(starts) == 10


def test_a_change_of_tempo_is_taken_up_while_it_plays(shared: Any) -> None:
    page = go_to(shared, "#tempo=120&countin=off")
    notes = notes_of(page, 9, 4, tempo=180)
    gaps = [after - before for before, after in pairwise(beats(notes))]
    assert gaps[:7] == pytest.approx([1 / 2] * 7, abs=ON_TIME)
    assert gaps[9:] == pytest.approx([1 / 3] * len(gaps[9:]), abs=ON_TIME)
    ticks = [note["tick"] for note in notes if note["part"] == "click"]
    assert ticks == sorted(set(ticks))  # none left out, none twice
    assert np.diff(ticks).tolist() == [960] * (len(ticks) - 1)


@pytest.mark.parametrize("ahead", [0.25, 2.5])
def test_a_change_of_tempo_is_heard_at_once_however_much_was_handed_on(
    shared: Any, ahead: float
) -> None:
    """2.5 seconds are handed on while the page is hidden. At 4.2 seconds and 120 beats a minute,
    0.3 seconds of the beat are left, which take two thirds of that at 180."""
    page = go_to(shared, "#tempo=120&countin=off&silent=none")
    notes = notes_of(page, 12, 4.2, ahead, tempo=180)
    gaps = [after - before for before, after in pairwise(beats(notes))]
    assert gaps[:8] == pytest.approx([1 / 2] * 8, abs=ON_TIME)
    assert gaps[8] == pytest.approx(0.2 + 0.3 * 2 / 3, abs=ON_TIME)
    assert gaps[9:] == pytest.approx([1 / 3] * len(gaps[9:]), abs=ON_TIME)


def test_a_change_of_tempo_leaves_out_no_note_and_strikes_none_twice(shared: Any) -> None:
    page = go_to(shared, "#tempo=120&countin=off")

    def struck(notes: list[dict[str, Any]]) -> list[tuple[str, float, int]]:
        played = [(n["part"], round(n["tick"]), n["pitch"]) for n in notes if n["tick"] < 30_000]
        return sorted(played)

    steady = struck(notes_of(page, 20))
    assert len(steady) > 150
    for at in (3.9, 4.0, 4.013, 4.26, 4.5):
        page.evaluate("practice.settings.setTempo(120)")
        assert struck(notes_of(page, 20, at, 2.5, tempo=140)) == steady, at


@pytest.mark.parametrize("at", [4.3, 5.9])
def test_other_bars_begin_at_the_next_bar_line(shared: Any, at: float) -> None:
    """In bar 3 of two seconds each; at 5.9 seconds the beginning of bar 4 was handed on already."""
    page = go_to(shared, "#tempo=120&countin=off&silent=none")
    notes = notes_of(page, 12, at, bars=[9, 12])
    gaps = [after - before for before, after in pairwise(beats(notes))]
    assert gaps == pytest.approx([1 / 2] * len(gaps), abs=ON_TIME)
    clicks = [note for note in notes if note["part"] == "click"]
    bars = [int(note["tick"] // 3840) % 12 + 1 for note in clicks[::4]]
    assert bars == [1, 2, 3, 9, 10, 11]


def test_a_change_of_key_sounds_the_new_key_while_it_plays(shared: Any, tmp_path: Path) -> None:
    """Compared with our own rendering in E flat, by the energy of the pitch classes (librosa)."""
    page = go_to(shared, "#tempo=120&countin=off")
    sound = sound_of(page, 16, 8, silent=("drums", "click"), key=3)
    own = _own_sound("Eb", tmp_path)[: len(sound)]
    change, heard_by = 8 * 44100, int(8.2 * 44100)
    assert semitones_apart(own[:change], sound[:change]) == 6  # A, a tritone away
    assert semitones_apart(own[heard_by:], sound[heard_by:]) == 0
    assert _alike(own[heard_by:], sound[heard_by:]) > 0.8


def _own_sound(key: str, folder: Path) -> np.ndarray:
    """Bass and comping of the same round in a key, as the program renders them."""
    asked = FORM | {"key": key, "choruses": 4, "ending": "loop", "intensity": WAVE}
    paths = groove.make(read_form("twelve-bar", **asked), folder, audio="wav", only="bass,comping")
    sound, _ = soundfile.read(next(path for path in paths if path.suffix == ".wav"))
    return np.asarray(sound).mean(axis=1)


def _alike(one: np.ndarray, other: np.ndarray) -> float:
    return float(np.corrcoef(energies(one), energies(other))[0, 1])


def test_bars_are_repeated_without_a_seam(shared: Any) -> None:
    page = go_to(shared, "#tempo=240&bars=9-12&countin=off")
    notes = notes_of(page, 14)
    gaps = [after - before for before, after in pairwise(beats(notes))]
    assert gaps == pytest.approx([0.25] * len(gaps), abs=ON_TIME)
    bars = {int(note["tick"] // 3840) % 12 + 1 for note in notes if note["part"] == "drums"}
    assert bars == {9, 10, 11, 12}
    choruses = {int(note["tick"] // (3840 * 12)) for note in notes}
    assert choruses == {0, 1, 2, 3}  # a new one each time


def test_after_the_last_chorus_comes_the_first_without_a_seam(shared: Any) -> None:
    page = go_to(shared, "#tempo=240&countin=off")
    notes = notes_of(page, 55)
    gaps = [after - before for before, after in pairwise(beats(notes))]
    assert len(gaps) > 4 * 48
    assert gaps == pytest.approx([0.25] * len(gaps), abs=ON_TIME)


def test_each_round_is_faster_and_in_the_next_key(shared: Any) -> None:
    page = go_to(shared, "#tempo=200&bars=1-2&countin=off&faster=10&next=fourths")
    notes_of(page, 6)
    assert page.evaluate("practice.settings.tempo") == 220
    assert page.evaluate("practice.track.keys[practice.settings.key].name") == "G"  # A, D, G


def test_a_stretch_chosen_on_the_chart_is_played(shown: Any) -> None:
    page = shown("#countin=off&tempo=240")
    page.evaluate(HEAR)
    page.click(".bar >> nth=4")
    page.click(".bar >> nth=6")
    page.click("#play")
    page.wait_for_selector(".bar[aria-current]")
    assert page.get_attribute("[aria-current]", "aria-label") == "Bar 5: D7"
    pressed = page.locator(".bar[aria-pressed=true]").evaluate_all(
        "(bars) => bars.map((bar) => bar.getAttribute('aria-label').split(':')[0])"
    )
    assert pressed == ["Bar 5", "Bar 6", "Bar 7"]


HELD = """async ([pitch, seconds]) => {
  const { track, sounds } = practice;
  const context = new OfflineAudioContext(1, (seconds + 1) * 44100, 44100);
  await practice.prepareBand(context, sounds);
  new practice.Band(context, track, sounds, () => 1).strike("comping", pitch, 80, 0, seconds);
  const sound = (await context.startRendering()).getChannelData(0);
  const levels = [];
  for (let at = 0; at + 11025 <= sound.length; at += 11025) {
    const energy = sound.subarray(at, at + 11025).reduce((sum, x) => sum + x * x, 0);
    levels.push(Math.sqrt(energy / 11025));
  }
  return levels;
}"""
"""The level of each quarter of a second of a note of the comping, and of the second after it."""


def test_an_organ_note_holds_its_level_for_ten_seconds(shown: Any, asking_page: Path) -> None:
    page = shown(path=asking_page)
    for pitch in (54, 60, 65, 70):
        levels = np.array(page.evaluate(HELD, [pitch, 10]))
        held = 20 * np.log10(levels[1:40])
        assert held.max() - held.min() < 6, pitch
        assert levels[42:].max() < 0.01 * levels[1]


def test_a_note_that_decays_does_so_evenly_and_does_not_end_early(shared: Any) -> None:
    """A whole note at 30 beats a minute lasts eight seconds."""
    page = go_to(shared, "#key=A")
    levels = page.evaluate(HELD.replace('"comping"', '"bass"'), [33, 8])
    decibels = 20 * np.log10(np.array(levels[:32]))
    assert decibels[1] > decibels[12] > decibels[20] > decibels[28]
    assert np.abs(np.diff(decibels[8:31])).max() < 6


def test_a_part_that_is_silenced_is_silent(shown: Any) -> None:
    page = shown("#countin=off&rounds=1&bars=1-2&silent=drums,bass,comping,click")
    assert np.abs(wav_of(page)).max() == 0
    page.check("[data-part=bass] [type=checkbox]")
    assert np.abs(wav_of(page)).max() > 0.02


def test_silencing_is_heard_at_once(shown: Any) -> None:
    page = shown()
    page.click("#play")
    page.uncheck("[data-part=drums] [type=checkbox]")
    page.wait_for_function("() => practice.stage.band.buses.drums.gain.value < 0.001")


def test_the_page_is_played_by_keyboard_alone(opened: Any) -> None:
    page = opened("#tempo=100")
    word = page.locator("#play-word")
    page.keyboard.press("Space")
    page.wait_for_function("() => practice.stage.playing")
    assert word.inner_text() == "Stop"
    page.keyboard.press("Space")
    assert word.inner_text() == "Play"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.id") == "play"
    page.focus(".bar")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Space")  # belongs to the bar that has the focus
    assert page.input_value("#to") == "2"
    reached = set()
    for _ in range(80):
        page.keyboard.press("Tab")
        reached.add(page.evaluate("document.activeElement.id"))
    wanted = {"play", "key", "tempo-slider", "tempo", "tap", "from", "to", "get-midi", "get-wav"}
    assert wanted <= reached
    page.focus("#tempo-slider")
    page.keyboard.press("ArrowRight")
    assert page.evaluate("practice.settings.tempo") == 101
