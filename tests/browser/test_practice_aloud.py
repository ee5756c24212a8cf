"""A voice of the device says the count-in and each chord a beat early, by the music's own time."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from groove import library
from groove.handout.practice.inline import page_html
from groove.wording import Wording, worded, words_of
from tests.browser.practice_material import TEXTS, VOICES, go_to
from tests.handout.practice.page_material import data_in

FOLLOW = """
async ({ seconds, delay, lasts, step, stall }) => {
  const { track, settings, view, aloud } = practice;
  const { Player } = practice;
  let now = 0;
  const loud = [];
  const band = { strike() {}, silence() {}, takeBack() {}, control() {},
    yieldTo: (on) => loud.push([now, on]) };
  const player = new Player(track, band, settings, (note) => machine.heard(note));
  const stage = {
    band, player, late: 0, lead: 0, ahead: 0.3,
    get context() { return { currentTime: now }; },
    place: () => player.marks && { ...player.placeAt(now), goesOn: null },
  };
  const said = [];
  const queue = [];
  const speech = {
    getVoices: () => speechSynthesis.getVoices(),
    cancel() { queue.length = 0; },
    speak(one) {
      queue.push({ one, ready: now + delay, ends: Infinity });
    },
  };
  const machine = new aloud.constructor(settings, {
    nextChord: (...asked) => view.nextChord(...asked), speech, now: () => 1000 * now });
  machine.ready(stage);
  machine.chosen = 0;
  machine.choose();
  let called = 0;
  const run = (until) => {
    for (; now < until; now += 0.005) {
      if (stall && now > stall[0] && now < stall[0] + 0.01) now += stall[1];
      const [first] = queue;
      if (first && first.ends === Infinity && now >= first.ready) {
        first.ends = now + lasts;
        said.push({ words: first.one.text, voice: first.one.voice.name, at: now });
        first.one.onstart?.({});
      } else if (first && now >= first.ends) {
        queue.shift();
        first.one.onend?.({});
      }
      if (player.marks && now - called >= step) {
        called = now;
        player.advance(now + stage.ahead, now);
        machine.follow();
      }
    }
  };
  run(2);
  const trial = said.splice(0);
  const start = now + Math.max(0.015, stage.lead);
  player.start(start);
  player.advance(now + stage.ahead, now);
  run(start + seconds);
  return { trial, said: said.map((each) => ({ ...each, at: each.at - start })), start,
    loud: loud.map(([at, on]) => [at - start, on]) };
}
"""
"""Some seconds of the page's own player, followed in steps of its clock, with a voice that needs a
delay and speaks for some time. stall: a time at which the clock stands still for some seconds."""

CLOCK = 0.031
"""Seconds from one call to the next, with a step of the voice."""


def followed(page: Any, seconds: float, **wish: Any) -> Any:
    asked = {"delay": 0.2, "lasts": 0.25, "step": 0.025, "stall": None} | wish
    return page.evaluate(FOLLOW, {"seconds": seconds} | asked)


@pytest.mark.parametrize("delay", [0.05, 0.4])
def test_the_count_in_is_said_on_its_beats(delay: float, shared: Any) -> None:
    page = go_to(shared, "#key=A&tempo=120&aloud=count")
    found = followed(page, 1.9, delay=delay)
    assert [each["words"] for each in found["said"]] == ["one", "two", "three", "four"]
    assert [each["at"] for each in found["said"]] == pytest.approx([0, 0.5, 1, 1.5], abs=CLOCK)
    assert {each["voice"] for each in found["said"]} == {"near"}  # none from elsewhere


def test_each_new_chord_is_said_a_beat_early(shared: Any) -> None:
    page = go_to(shared, "#key=A&tempo=120&aloud=chords&bars=1-12")
    found = followed(page, 2 + 26, delay=0.3)
    bars = [1, 5, 7, 9, 10, 11, 13]  # A7 D7 A7 E7 D7 A7, and again A7 at the top is no new one
    names = ["A7", "D7", "A7", "E7", "D7", "A7"]
    assert [each["words"] for each in found["said"]] == names
    beat = [2 + 2 * (bar - 1) - 0.5 for bar in bars[:-1]]
    assert [each["at"] for each in found["said"]] == pytest.approx(beat, abs=CLOCK)


def test_the_band_yields_while_the_voice_speaks(shared: Any) -> None:
    page = go_to(shared, "#key=A&tempo=120&aloud=count")
    found = followed(page, 3, delay=0.1, lasts=0.25)
    first = [(at, on) for at, on in found["loud"] if at > -0.01][:2]
    assert first == [
        (pytest.approx(0, abs=2 * CLOCK), True),
        (pytest.approx(0.25, abs=2 * CLOCK), False),
    ]


def test_what_would_come_late_is_left_out(shared: Any) -> None:
    page = go_to(shared, "#key=A&tempo=120&aloud=count")
    slow = followed(page, 1.9, lasts=0.7)  # the voice still says "one" where "two" should be
    assert [each["words"] for each in slow["said"]] == ["one", "three"]
    page = go_to(shared, "#key=A&tempo=120&aloud=chords")
    held = followed(page, 2 + 10, stall=[2 + 9.1, 0.6])  # the page is held up before D7
    assert [each["words"] for each in held["said"]] == ["A7"]


def test_the_next_key_is_said_at_the_end_of_a_round(shared: Any) -> None:
    page = go_to(shared, "#key=A&tempo=120&aloud=chords&bars=11-12&next=fourths&countin=off")
    found = followed(page, 5)
    assert [each["words"] for each in found["said"]] == ["D7"]
    assert found["said"][0]["at"] == pytest.approx(3.5, abs=CLOCK)


def test_in_german_it_speaks_german(opened: Any, practice_page: Path, tmp_path: Path) -> None:
    made = practice_page.read_text("utf-8")
    data = {name: data_in(made, f"{name}-data") for name in ("track", "sound")}
    with worded(Wording(library.load("words", "german"))):
        words = words_of("page")
        data["track"]["words"] |= {name: words[name] for name in ("hear", "speech")}
        path = tmp_path / "page.html"
        path.write_text(
            page_html(TEXTS, {"track": data["track"], "sounds": data["sound"]}), "utf-8"
        )
    page = opened("#key=Eb&tempo=120&aloud=count,chords&bars=4-5", path=path, before=VOICES)
    found = followed(page, 4)
    assert [each["words"] for each in found["said"]][:4] == ["eins", "zwei", "drei", "vier"]
    assert {each["voice"] for each in found["said"]} == {"nah"}
    assert "vermindert" in page.evaluate("practice.spokenChord('B°7')")


def test_a_second_link_in_the_window_sets_what_the_voice_says(shared: Any) -> None:
    page = go_to(shared, "#key=A")
    assert page.evaluate("practice.stage.lead") == 0
    go_to(page, "#key=A&aloud=count,chords")
    assert page.evaluate("practice.stage.lead") > 0  # time to say the first number
    assert page.evaluate("practice.aloud.speaking === null")
    go_to(page, "#key=A")
    assert page.evaluate("practice.stage.lead") == 0


def test_without_a_voice_one_sentence_says_so(shared: Any) -> None:
    page = go_to(shared, "#key=A")
    assert page.evaluate("practice.settings.aloud.size") == 0  # off unless it is chosen
    page.click("#aloud .fold")
    page.evaluate("globalThis.noVoices = true")
    page.check("#aloud-count")
    assert "no English voice of its own" in page.inner_text("#aloud-trouble")
    page.wait_for_function("() => location.hash.includes('aloud=count')")
    page.evaluate("globalThis.noVoices = false")
    page.check("#aloud-chords")
    assert page.inner_text("#aloud-trouble") == ""
