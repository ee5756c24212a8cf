"""The practice page records the microphone over the band, and gives both back in step."""

from __future__ import annotations

from typing import Any

import pytest

FIND_CLICK = """({ late, noise, echo }) => {
  const { probe, findClick } = practice.latency;
  const [rate, click] = [44100, probe(44100)];
  let seed = 1;
  const random = () => (seed = (seed * 16807) % 2147483647) / 1073741824 - 1;
  const signal = Float32Array.from({ length: 0.6 * rate + click.length }, () => noise * random());
  click.forEach((sample, i) => {
    signal[Math.round(late * rate) + i] += 0.1 * sample;
    signal[Math.round((late + 0.006) * rate) + i] += echo * 0.1 * sample;
  });
  const { at, clear } = findClick(signal, click);
  return { late: at / rate, clear };
}"""


def test_a_click_is_found_in_noise_and_before_its_echo_and_noise_alone_is_none(
    shared: Any,
) -> None:
    for late, noise, echo in ((0.02, 0, 0), (0.15, 0.03, 0), (0.3, 0.003, 1.3)):
        found = shared.evaluate(FIND_CLICK, {"late": late, "noise": noise, "echo": echo})
        assert found["late"] == pytest.approx(late, abs=0.0005)
        assert found["clear"] is None or found["clear"] > 10
    assert shared.evaluate(FIND_CLICK, {"late": 10, "noise": 0.03, "echo": 0})["clear"] < 10


def test_clicks_or_taps_that_disagree_tell_no_latency(shared: Any) -> None:
    asked = "(lates) => practice.latency.fromClicks(lates.map((late) => ({ late, clear: 50 })))"
    good = shared.evaluate(asked, [0.1, 0.101, 0.1, 0.102, 0.1, 0.4, 0.1, 0.099])
    assert good["latency"] == pytest.approx(0.1, abs=0.001)
    assert shared.evaluate(asked, [0.1, 0.2, 0.3, 0.1, 0.4, 0.25, 0.1, 0.35]) == {"reason": "apart"}
    assert shared.evaluate(asked, [0.1, 0.1, 0.1, 0.1]) == {"reason": "unheard"}
    # Taps tell their median, unless they are uneven.
    asked = "(lates) => practice.latency.fromTaps(lates)"
    even = shared.evaluate(asked, [0.11, 0.12, 0.13, 0.12, 0.4, 0.12, 0.1, 0.14])
    assert even == {"latency": pytest.approx(0.12)}
    assert shared.evaluate(asked, [0, 0.3, 0.1, 0.4, 0.2, 0.45, 0, 0.3]) == {"reason": "uneven"}
    assert shared.evaluate(asked, [-0.03] * 8) == {"latency": 0}


def test_without_a_microphone_one_sentence_says_so_and_the_band_still_plays(opened: Any) -> None:
    page = opened()
    page.click("#record .fold")
    page.click("#record-go")
    page.wait_for_function("() => practice.recording.recorder.state === 'off'")
    assert page.inner_text("#record-said") == page.evaluate(
        "practice.words('record.microphone.none')"
    )
    page.click("#play")
    assert page.evaluate("practice.stage.playing")
    assert page.seen.complaints == []
