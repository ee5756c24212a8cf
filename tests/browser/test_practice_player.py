"""The page's player by itself, with a clock that the test sets, through every change."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.browser.practice_material import go_to

PUMP = """
({ seconds, at, key, keyAtStart, seed, machines }) => {
  const { track, settings } = practice;
  let now = 0, random = seed;
  const chance = () => (random = (Math.imul(random, 1664525) + 1013904223) >>> 0) / 2 ** 32;
  const trouble = [];
  const voices = new Set();
  const band = {
    strike(part, pitch, velocity, at, seconds) {
      if (at < now - 1e-9 || !(seconds > 0)) trouble.push([part, at, now, seconds]);
      voices.add({ part, pitch, at, end: at + seconds });
    },
    takeBack(parts, at) {
      for (const voice of voices) {
        if (voice.at >= at && parts.includes(voice.part)) voices.delete(voice);
      }
    },
  };
  band.silence = band.takeBack;
  if (seed) settings.reset();
  if (keyAtStart !== null) settings.key = keyAtStart;
  const player = new practice.Player(track, band, settings);
  player.start(0.015);
  let ahead = 0.25;
  for (; now < seconds && player.stage !== 'stopped'; now += 0.025) {
    player.advance(now + ahead, now);
    if (at !== null && Math.abs(now - at) < 0.0125) {
      settings.key = key;
      player.rejoin(now + 0.03);
    }
    if (seed) {
      const dice = chance();
      if (dice < 0.02) { settings.key = Math.floor(12 * chance()); player.rejoin(now + 0.03); }
      else if (dice < 0.05) { settings.setTempo(30 + 290 * chance()); player.retime(now + 0.03); }
      else if (dice < 0.07) {
        settings.setBars(1 + track.bars * chance(), 1 + track.bars * chance());
        player.restretch(now + 0.015);
        player.advance(now + ahead, now);
      } else if (dice < 0.08) settings.setFaster(20 * chance() - 10);
      else if (dice < 0.09) settings.nextKey = chance() < 0.5 ? 'stay' : 'fourths';
      else if (dice < 0.1) ahead = 2.75 - ahead; // out of sight, and back
      else if (machines && dice < 0.13) {
        const any = (...choices) => choices[Math.floor(choices.length * chance())];
        const figures = { turns: chance() < 0.8, band: any(1, 2, 4), out: any(1, 2, 3),
          rest: any(0, 0, 2), silent: any("band", "pitched", "solo"), outClick: chance() < 0.5,
          recount: chance() < 0.3, clean: any(1, 2), alone: chance() < 0.1,
          beats: any("all", "one", "backbeats") };
        settings.setMachine(figures);
        player.changeTurns(now + 0.03);
        player.advance(now + ahead, now);
      } else if (machines && dice < 0.135) player.judge(chance() < 0.5, now);
      else if (dice < 0.101) { settings.forEver = false; settings.rounds = 30; }
      const place = player.placeAt(now);
      const times = player.marks.map((mark) => mark.time);
      if (times.some((time, n) => time < times[n - 1])) trouble.push(['marks', now]);
      const bars = { counting: Math.max(1, settings.countInBars), resting: 2 };
      const before = track.barTicks * (bars[place?.stage] ?? 0);
      if (place && !(place.tick >= -before - 100)) trouble.push(['place', now, place.tick]);
      const { left } = (place && player.toldAt(place)) ?? { left: 1 };
      if (left !== null && !(left >= 1 && left <= 4)) trouble.push(['left', now, left]);
    }
  }
  return { trouble, stage: player.stage, voices: [...voices] };
}
"""


def pump(page: Any, seconds: float, **wishes: Any) -> Any:
    """The player's actions in some seconds, called every 25 ms."""
    usual = {"seconds": seconds, "at": None, "key": None, "keyAtStart": None, "seed": 0}
    usual |= {"machines": False}
    return page.evaluate(PUMP, usual | wishes)


@pytest.mark.parametrize("at", [3.9, 4.5])
def test_after_a_change_of_key_all_is_as_if_it_had_been_so_from_the_start(
    shared: Any, at: float
) -> None:
    """Bars 1 and 2 at 120 last four seconds: one change comes just before the next round begins,
    when some of that has been handed on already, the other in the middle of it."""
    page = go_to(shared, "#tempo=120&bars=1-2&countin=off")
    changed = pump(page, 10, at=at, key=3)["voices"]
    steady = pump(page, 10, keyAtStart=3)["voices"]

    def later(voices: list[dict[str, Any]]) -> list[tuple[str, int, int]]:
        from_then_on = [v for v in voices if v["at"] > at + 0.2]
        return sorted((v["part"], v["pitch"], round(1e6 * v["at"])) for v in from_then_on)

    assert later(changed) == later(steady)
    assert len(later(steady)) > 50


@pytest.mark.parametrize("machines", [False, True])
@pytest.mark.parametrize("pages", ["practice_page", "road_page"])
def test_nothing_is_too_late_whatever_the_student_changes(
    shown: Any, pages: str, machines: bool, request: pytest.FixtureRequest
) -> None:
    page = shown("", request.getfixturevalue(pages))
    played = []
    for seed in range(1, 7):
        done = pump(page, 120, seed=seed, machines=machines)
        assert done["trouble"] == [], seed
        played.append(len(done["voices"]))
    assert min(played) > (30 if machines else 100)
    assert sum(played) > 1200


PEDAL = """() => {
  const { track, settings } = practice;
  const heard = [], struck = [], controls = [];
  const band = { strike: (part, pitch, velocity, at, seconds) => struck.push({ part, at, seconds }),
    control: (part, number, value, at) => controls.push({ part, number, value, at }) };
  const player = new practice.Player(track, band, settings, (note) => heard.push(note));
  player.start(0);
  player.advance(30);
  const ours = (list) => list.filter(({ part }) => part === "comping");
  return { heard: ours(heard), struck: ours(struck), controls: ours(controls) };
}"""


def test_a_note_under_the_pedal_sounds_until_the_pedal_is_lifted(
    opened: Any, pedal_page: Path
) -> None:
    found = opened("#countin=off", path=pedal_page).evaluate(PEDAL)
    pedals = [control for control in found["controls"] if control["number"] == 64]
    longer = 0
    for written, struck in zip(found["heard"], found["struck"], strict=True):
        end = written["at"] + written["seconds"]
        before = [pedal for pedal in pedals if pedal["at"] <= end - 0.05]
        after = [pedal for pedal in pedals if pedal["at"] > end + 0.05]
        if not after or any(abs(pedal["at"] - end) < 0.05 for pedal in pedals):
            continue
        down = bool(before) and before[-1]["value"] >= 64
        wanted = after[0]["at"] if down else end
        assert struck["at"] + struck["seconds"] == pytest.approx(wanted, abs=0.05)
        longer += down
    assert longer > 20
