"""Takes of the practice page: a microphone that plays a known signal, recorded over the band."""

from __future__ import annotations

import base64
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile
from scipy.signal import correlate, resample_poly

from tests.browser.conftest import ARGUMENTS, CHROMIUM
from tests.browser.firefox_material import Firefox
from tests.browser.recording_material import returning

FILE_RATE = 48000
RAW = """async () => {
  const [take] = practice.recording.takes;
  const bytes = new Uint8Array((await take.read(0, take.frames)).buffer);
  let text = "";
  for (let i = 0; i < bytes.length; i += 4096) {
    text += String.fromCharCode(...bytes.subarray(i, i + 4096));
  }
  return { rate: take.rate, samples: btoa(text) };
}"""
LATE = 0.12
RETURNS = returning(LATE)


def signal() -> np.ndarray:
    """Ten seconds of noise in bursts that never come at equal distances."""
    chance = np.random.default_rng(5)
    dull = np.hanning(13)  # no high notes, which each program resamples in its own way
    sound, at = np.zeros(10 * FILE_RATE), 0
    while at < len(sound) - 6000:
        sound[at : at + 2400] = np.convolve(
            0.02 * chance.standard_normal(2400) * np.hanning(2400), dull, "same"
        )
        at += int(chance.uniform(0.12, 0.3) * FILE_RATE)
    return sound


@pytest.fixture(scope="module")
def hearing(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """A browser whose microphone plays the signal."""
    path = tmp_path_factory.mktemp("microphone") / "signal.wav"
    soundfile.write(path, signal(), FILE_RATE, "PCM_16")
    running = browser.browser_type.launch(
        executable_path=str(CHROMIUM),
        headless=True,
        args=[
            *ARGUMENTS,
            "--use-fake-device-for-media-stream",
            f"--use-file-for-fake-audio-capture={path}",
        ],
    )
    yield running
    running.close()


@pytest.fixture
def heard(hearing: Any, practice_page: Path) -> Iterator[Callable[..., Any]]:
    """Opens the page in that browser: heard(fragment, *permissions) -> page."""
    contexts = []

    def opener(fragment: str = "", *permissions: str) -> Any:
        context = hearing.new_context(accept_downloads=True, permissions=list(permissions))
        contexts.append(context)
        page = context.new_page()
        page.goto(f"{practice_page.as_uri()}{fragment}")
        page.wait_for_function("() => globalThis.practice?.ready")
        page.click("#record .fold")
        return page

    yield opener
    for context in contexts:
        context.close()


def record(page: Any, seconds: float) -> None:
    """Record so long, and wait for the take."""
    number = page.locator(".take").count()
    page.click("#record-go")
    page.wait_for_function(
        "(most) => practice.recording.recorder.frames > most * 44100", arg=seconds
    )
    page.click("#record-go")
    page.locator(".take").nth(number).wait_for()
    page.wait_for_function("() => document.getElementById('record-said').textContent !== ''")


def sliders(page: Any, **decibels: float) -> None:
    """Set the levels of the mix."""
    for name, value in decibels.items():
        page.fill(f"#level-{name}", str(value))


def saved(page: Any, nth: int = 0) -> np.ndarray:
    """The mix of the first take as the nth button saves it, of shape (frames, 2)."""
    with page.expect_download() as download:
        page.locator(".take .fields button").nth(nth).click()
    return np.asarray(soundfile.read(download.value.path())[0])


SAID = """() => {
  globalThis.said = [];
  const states = document.getElementById("states");
  new MutationObserver(() => {
    if (said.at(-1) !== states.textContent) said.push(states.textContent);
  }).observe(states, { childList: true });
}"""


def record_by_key(page: Any) -> None:
    """Record a little with the panel folded away, until it is said that the take is there."""
    page.keyboard.press("r")
    page.wait_for_function("() => practice.recording.recorder.isOn")
    page.keyboard.press("r")
    page.locator("#states button").wait_for()


def lag(later: np.ndarray, earlier: np.ndarray) -> int:
    """The frames by which one signal comes after another one."""
    alike = correlate(later, earlier, method="fft")
    return int(np.argmax(np.abs(alike))) - (len(earlier) - 1)


def test_a_take_holds_the_microphone_s_signal_and_the_mix_has_it_earlier_by_the_latency(
    heard: Callable[..., Any],
) -> None:
    page = heard("#tempo=160&silent=none", "microphone")
    page.click("#latency summary")
    page.fill("#latency-number", "130")
    page.press("#latency-number", "Enter")
    record(page, 1.6)
    raw = page.evaluate(RAW)
    frames = np.frombuffer(base64.b64decode(raw["samples"]), "<i2").reshape(-1, 3) / 32767
    known = resample_poly(signal(), raw["rate"] // 100, FILE_RATE // 100)
    third = len(frames) // 3
    places = [
        -lag(frames[third * n :][:third, 0], known) - third * n for n in range(3)
    ]  # in the file, where the take began
    assert np.ptp(places) < 0.01 * raw["rate"]
    sliders(page, microphone=6, band=-12)
    late = round(0.13 * raw["rate"])
    mine = np.concatenate((frames[late:, 0], np.zeros(late)))
    mix = 10 ** (-12 / 20) * frames[:, 1:] + 10 ** (6 / 20) * mine[:, None]
    assert np.abs(mix).max() < 0.75  # so that it isn't limited
    wav, opus = saved(page, 0), saved(page, 1)
    assert np.abs(wav - mix).max() < 2 / 32768
    assert len(opus) == pytest.approx(len(wav) * FILE_RATE / raw["rate"], abs=2)
    back = resample_poly(opus, raw["rate"] // 100, FILE_RATE // 100)[: len(wav)]
    apart = lag(back[:, 0], wav[: len(back), 0])
    assert abs(apart) < 0.001 * raw["rate"]  # what the encoder's own resampling takes
    assert np.corrcoef(back[apart:, 0], wav[: len(back) - apart, 0])[0, 1] > 0.95


def test_a_microphone_that_is_refused_is_one_sentence_and_the_band_plays(
    heard: Callable[..., Any],
) -> None:
    page = heard()
    page.click("#record-go")
    page.wait_for_function("() => practice.recording.recorder.state === 'off'")
    words = page.evaluate("practice.words('record.microphone.refused')")
    assert page.inner_text("#record-said") == words
    page.click("#record .fold")
    page.keyboard.press("r")
    page.wait_for_function("() => !document.getElementById('trouble').hidden")
    assert page.inner_text("#trouble") == words
    page.click("#play")
    assert page.evaluate("practice.stage.playing")


@pytest.mark.parametrize(
    ("reason", "preferences"),
    [
        ("refused", {"permissions__default__microphone": 2}),
        (
            "none",
            {
                "media__navigator__permission__disabled": True,
                "media__cubeb__force_null_context": True,
            },
        ),
    ],
)
def test_in_firefox_refusal_and_no_device_are_a_sentence_each(
    in_firefox: Callable[..., Firefox], reason: str, preferences: dict[str, Any]
) -> None:
    page = in_firefox(**preferences)
    page.evaluate("() => practice.recording.press()")
    words = page.evaluate(f"practice.words('record.microphone.{reason}')")
    assert page.evaluate("document.getElementById('trouble').textContent") == words
    assert page.complaints == []


def test_firefox_records_a_microphone_too(in_firefox: Callable[..., Firefox]) -> None:
    page = in_firefox(
        "#tempo=200&silent=none",
        media__navigator__permission__disabled=True,
        media__navigator__streams__fake=True,
    )
    page.click("#play")
    page.evaluate("() => practice.recording.press()")
    page.wait_for("practice.recording.recorder.frames > 30000")
    page.evaluate("() => practice.recording.press()")
    page.wait_for("document.getElementById('record-said').textContent !== ''")
    loud = page.evaluate("practice.recording.takes[0].loudness()")
    assert loud["microphone"] > 0.01 < loud["band"]


def test_a_video_has_the_mix_and_the_picture(heard: Callable[..., Any]) -> None:
    page = heard("#tempo=160&silent=none", "microphone", "camera")
    page.check("#record-film")
    record(page, 0.5)
    with page.expect_download() as download:
        page.click("text=Save the video")
    assert download.value.suggested_filename.endswith((".webm", ".mp4"))
    assert Path(download.value.path()).stat().st_size > 10_000
    assert page.evaluate("practice.recording.takes[0].isSaved")


def test_what_returns_late_is_in_step_again_in_the_mix(opened: Any) -> None:
    page = opened("#tempo=200&silent=none", before=RETURNS)
    page.click("#record .fold")
    page.click("#latency summary")
    page.fill("#latency-number", str(round(1000 * LATE)))
    page.press("#latency-number", "Enter")
    record(page, 1)
    sliders(page, microphone=0, band=-30)
    mine = saved(page)
    sliders(page, microphone=-30, band=0)
    theirs = saved(page)
    assert lag(mine[:, 0], theirs.mean(axis=1)) == pytest.approx(0, abs=44)  # a millisecond
    sliders(page, microphone=30, band=6)
    loud = np.abs(saved(page)).max()
    assert 0.7 < loud <= 10 ** (-2 / 20) + 1 / 32768


def test_several_takes_are_named_deleted_and_brought_back(opened: Any) -> None:
    page = opened(before=RETURNS)
    page.click("#record .fold")
    for _ in range(2):
        record(page, 0.1)
    names = [field.input_value() for field in page.locator(".take [type=text]").all()]
    assert names == ["Take 1", "Take 2"]
    page.locator(".take [type=text]").first.fill("Slow, with mutes")
    page.locator(".take [type=text]").first.press("Enter")
    with page.expect_download() as download:
        page.click("text=Save as WAV >> nth=0")
    assert download.value.suggested_filename == "ferry-landing_A_120_Slow-with-mutes.wav"
    assert "saved." in page.locator(".take").first.inner_text()
    assert page.evaluate("practice.recording.hasUnsaved")
    page.click("text=Delete >> nth=1")
    assert page.locator(".take").count() == 1
    assert not page.evaluate("practice.recording.hasUnsaved")
    page.click("#take-back")
    assert page.locator(".take").count() == 2
    page.locator(".play-take").nth(1).click()
    page.wait_for_function("() => document.querySelectorAll('.take.sounding').length === 1")
    page.wait_for_function("() => document.querySelectorAll('.take.sounding').length === 0")
    dialogs = []
    page.on("dialog", lambda dialog: (dialogs.append(dialog.type), dialog.accept()))
    page.close(run_before_unload=True)
    page.wait_for_event("close")
    assert dialogs == ["beforeunload"]


def test_a_take_that_gets_too_long_is_ended_kindly(opened: Any) -> None:
    page = opened(before=RETURNS)
    page.click("#record .fold")
    page.evaluate("practice.recording.recorder.limits.take = 0.2")
    page.click("#record-go")
    page.locator(".take").wait_for()
    page.wait_for_function("() => document.getElementById('record-said').textContent !== ''")
    assert page.inner_text("#record-said").startswith("A take lasts 0:00 at most")
    assert page.evaluate("practice.stage.playing")
    page.evaluate("practice.recording.recorder.limits.all = 1")
    page.click("#record-go")
    assert page.inner_text("#record-said").startswith("All takes together last 0:01 at most")


def test_a_take_waits_while_the_band_is_paused(opened: Any) -> None:
    page = opened("#countin=off", before=RETURNS)
    page.keyboard.press("r")
    page.wait_for_function("() => practice.recording.recorder.frames > 8000")
    page.keyboard.press("p")
    page.evaluate("practice.recording.recorder.limits.ring = 0.1")
    frames = page.evaluate("practice.recording.recorder.frames")
    page.wait_for_timeout(500)
    assert page.evaluate("practice.recording.recorder.frames") <= frames + 4096
    assert page.inner_text("[data-of=record]") == "Recording paused"
    page.keyboard.press("p")
    page.wait_for_function("(most) => practice.recording.recorder.frames > most", arg=frames + 9000)
    assert page.evaluate("practice.recording.recorder.isOn")


def test_the_take_ends_after_the_band(opened: Any) -> None:
    page = opened("#countin=off", before=RETURNS)
    page.click("#record .fold")
    page.click("#record-go")
    page.wait_for_function("() => practice.recording.recorder.hasPlayed")
    page.evaluate("practice.recording.recorder.limits.ring = 0.2")
    page.evaluate(SAID)
    page.click("#play")
    page.click("#states button")
    assert not page.evaluate("practice.recording.recorder.isOn")
    said = page.evaluate("said").index("Ending the take")
    assert page.evaluate("said")[said:] == ["Ending the take", "", "Take 1 is recorded: listen", ""]
    assert page.evaluate("document.activeElement.className") == "play-take"
    page.click("#record .fold")
    page.evaluate(
        """() => { const box = document.getElementById('said'); window.read = [];
          new MutationObserver(() => read.push(box.textContent))
          .observe(box, { childList: true }); }"""
    )
    record_by_key(page)
    read = page.evaluate("read")  # by a screen reader, chords in between
    assert "Recording." in read
    assert re.match(r"Take 2, \d+ seconds?, is recorded\.", read[-1])
    page.click("#play")
    assert page.locator("#states button").count() == 0
