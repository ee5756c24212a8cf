"""The tuner of the practice page: what it finds in tones, what it shows, when it is silent."""

from __future__ import annotations

import base64
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile

from tests.browser.conftest import ARGUMENTS, CHROMIUM
from tests.browser.firefox_material import Firefox
from tests.browser.tuner_material import (
    FAKE_MICROPHONE,
    RATE,
    Sound,
    cents,
    heard,
    noise,
    packed,
    pitches,
    string,
    wind,
)

EXACT = 2.0
"""Cents within which a pitch is found."""
LOW_B, LOW_E, A, TOP_E = 30.868, 82.407, 110.0, 329.628

KINDS: dict[str, Callable[[float, float, np.random.Generator], Sound]] = {
    "string": string,
    "stiff string": lambda *how: string(*how, stiff=4e-4, pluck=0.13),
    "phone": lambda *how: string(*how, corner=180.0),
    "no fundamental": lambda *how: string(*how, missing=frozenset({1})),
    "neither of the lowest two": lambda *how: string(*how, missing=frozenset({1, 2})),
    "wind": wind,
    "pure": lambda *how: wind(*how, partials=1),
}
LOW_ONLY = ("phone", "no fundamental", "neither of the lowest two")
NOISES = [(None, False), (20.0, False), (20.0, True), (10.0, False)]
"""Decibels that the tone is above the noise, and whether that is pink."""


def test_pitches_are_within_two_cents_for_strings_and_winds_in_noise(shared: Any) -> None:
    rng = np.random.default_rng(1)
    true, sounds = [], []
    for kind, make in KINDS.items():
        for number, hertz in enumerate(np.geomspace(28, 400 if kind in LOW_ONLY else 1400, 9)):
            true.append(hertz * 2 ** rng.uniform(-0.03, 0.03))
            sound = make(true[-1], 0.7, rng)
            sounds.append(heard(sound, 0.7, rng, *NOISES[number % len(NOISES)]))
    off = [
        found and abs(cents(found, hertz))
        for found, hertz in zip(pitches(shared, sounds), true, strict=True)
    ]
    assert None not in off
    assert max(off) < EXACT


def test_a_tone_that_is_nearly_all_octave_has_its_own_pitch(shared: Any) -> None:
    rng = np.random.default_rng(2)
    tones = [
        wind(2 * hertz, 0.7, rng) + 0.2 * wind(hertz, 0.7, rng) for hertz in (41.2, 98.0, 146.8)
    ]
    found = pitches(shared, [heard(tone, 0.7, rng, 30.0) for tone in tones])
    assert found == pytest.approx([41.2, 98.0, 146.8], rel=0.001)


def test_noise_and_silence_have_no_pitch(shared: Any) -> None:
    rng = np.random.default_rng(3)
    hisses = [0.05 * noise(17_280, rng, pink=pink) for pink in (False, True) for _ in range(12)]
    assert set(pitches(shared, [*hisses, np.zeros(17_280)])) == {None}


STEADIED = """({ text, rate, from, step, size }) => {
  const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  const sound = new Float32Array(bytes.buffer);
  const steady = new practice.tuning.Steady();
  const found = [];
  for (let end = from; end <= sound.length; end += step) {
    found.push(steady.take(practice.tuning.pitchOf(sound.subarray(end - size, end), rate).hertz));
  }
  return found;
}"""
"""The steady reading every 50 ms, as of a live microphone."""


def steadied(page: Any, sound: Sound) -> list[float | None]:
    wish = {"text": packed(sound), "rate": RATE, "from": 17_280, "step": RATE // 20, "size": 17_280}
    return list(page.evaluate(STEADIED, wish))


@pytest.mark.parametrize(("hertz", "seconds"), [(LOW_B, 0.5), (LOW_E, 0.3), (TOP_E, 0.3)])
def test_a_reading_comes_soon_after_the_stroke(shared: Any, hertz: float, seconds: float) -> None:
    rng = np.random.default_rng(4)
    tone = 0.2 * string(hertz, 0.8, rng)
    sound = np.concatenate([np.zeros(17_280), tone]) + 0.002 * noise(17_280 + len(tone), rng)
    found = steadied(shared, sound)
    assert found[0] is None
    soon = found[int(seconds * 20) :]
    assert None not in soon
    assert max(abs(cents(one, hertz)) for one in soon) < EXACT


@pytest.mark.parametrize("hertz", [41.2, A, TOP_E])
def test_a_steady_tone_is_read_without_jitter(shared: Any, hertz: float) -> None:
    rng = np.random.default_rng(5)
    tone = wind(hertz, 1.5, rng)
    sound = tone + 0.1 * np.sqrt(np.mean(tone**2)) * noise(len(tone), rng)  # 20 dB
    found = steadied(shared, 0.1 * sound)[4:]
    assert cents(max(found), min(found)) < 1


AIMS = "(tones) => tones.map((hertz) => practice.tuner.tuned.aim(hertz, null))"


def aims(page: Any, *tones: float) -> list[tuple[Any, float]]:
    """The number of the string that is meant by each tone, or the note, and the cents it is off."""
    found = page.evaluate(AIMS, list(tones))
    return [(aim["number"] or aim["note"], round(aim["cents"])) for aim in found]


def test_the_string_that_is_meant_is_found_in_every_tuning(opened: Any) -> None:
    page = opened("#show=guitar&strings=drop-d")
    open_panel(page)
    assert aims(page, 73.416, 76.0, 2 * A, 107.0) == [(6, 0), (6, 60), (5, 0), (5, -48)]
    page.select_option("#tuner-what", "bass-5")
    assert aims(page, LOW_B, 41.5, 98.0) == [(5, 0), (4, 12), (1, 0)]
    page.select_option("#tuner-what", "ukulele")
    assert aims(page, 392.0, 261.6, 440.0) == [(4, 0), (3, 0), (1, 0)]
    page.select_option("#tuner-what", "any")
    assert aims(page, 440.0, 233.1) == [("A", 0), ("B♭", 0)]


def test_a_harmonic_is_meant_only_near_the_octave_of_a_string(opened: Any) -> None:
    page = opened("#show=guitar")
    open_panel(page)
    found = page.evaluate(AIMS, [400.1, 450.0])
    assert [(aim["number"], aim["isOctave"], round(aim["cents"])) for aim in found] == [
        (3, True, 35),
        (1, False, 539),
    ]
    page.evaluate("() => { practice.tuner.tuned.fixed = 0; }")
    assert aims(page, 400.1) == [(6, 2735)]


def test_the_harmonic_over_fret_twelve_tunes_its_string(opened: Any) -> None:
    page = opened("#show=bass&strings=bass")
    page.evaluate("() => { practice.tuner.tuned.fixed = 0; }")
    assert aims(page, 41.203, 82.407) == [(4, 0), (4, 0)]


TONES = """async ({ strings, instrument, seconds }) => {
  const { track, sounds } = practice;
  const context = new OfflineAudioContext(1, strings.length * seconds * 44100, 44100);
  strings.forEach((pitch, n) => {
    const tone = practice.tuning.toneOf(context, track, sounds, pitch, instrument);
    tone.source.start(n * seconds);
    practice.tuning.struck(tone, n * seconds);
    tone.source.stop((n + 1) * seconds);
  });
  const sound = (await context.startRendering()).getChannelData(0);
  let text = "";
  const bytes = new Uint8Array(sound.buffer);
  for (let i = 0; i < bytes.length; i += 4096) {
    text += String.fromCharCode(...bytes.subarray(i, i + 4096));
  }
  return btoa(text);
}"""


def test_tuner_and_notes_to_tune_by_follow_the_form_s_a_to_a_cent(
    opened: Any, crowded_page: Path
) -> None:
    page = opened("#show=guitar", crowded_page)
    assert aims(page, 108.0) == [(5, 0)]
    assert "A is 432 Hz" in page.text_content("#tuner-about")
    check_tones(page, "bass", [23, 28, 33, 38, 43])
    check_tones(page, "guitar", [40, 45, 50, 55, 59, 64])


def check_tones(page: Any, instrument: str, strings: list[int]) -> None:
    """The notes to tune strings by, of a page whose A is 432 Hz."""
    wish = {"strings": strings, "instrument": instrument, "seconds": 1}
    text = page.evaluate(TONES, wish)
    sound = np.frombuffer(base64.b64decode(text), "<f4").reshape(len(strings), 44_100)
    assert 0.02 < np.abs(sound).max(axis=1).min() <= np.abs(sound).max() < 0.25  # softly
    for pitch, tone in zip(strings, sound, strict=True):
        true = 432 * 2 ** ((pitch - 69) / 12)
        spectrum = np.abs(np.fft.rfft(tone * np.hanning(len(tone)), 16 * len(tone)))
        first, last = (int(16 * true * share) for share in (0.97, 1.03))
        at = first + spectrum[first:last].argmax()
        left, middle, right = np.log(spectrum[at - 1 : at + 2])
        hertz = (at + 0.5 * (left - right) / (left - 2 * middle + right)) / 16
        assert abs(cents(hertz, true)) < 1


def listening(opened: Any, fragment: str = "#show=guitar", **how: Any) -> Any:
    page = opened(fragment, before=FAKE_MICROPHONE, **how)
    open_panel(page)
    page.click("#tuner-listen")
    page.wait_for_function("() => fake.play")
    return page


def open_panel(page: Any) -> None:
    """Unfolds the tuner, wherever the page has folded it away."""
    page.evaluate("() => practice.tuner.open()")


def wait_for_words(page: Any, words: str) -> None:
    page.wait_for_function(
        "(words) => document.getElementById('tuner-words').textContent.includes(words)", arg=words
    )


def test_a_string_is_read_in_words_and_by_the_height_of_a_note(opened: Any) -> None:
    page = listening(opened)
    page.evaluate("fake.play([109, 0.2], [218, 0.1], [327, 0.05])")
    wait_for_words(page, "16 cents flat: tune up")
    assert page.text_content("#tuner-note").split() == ["A", "string", "5"]
    assert page.text_content("#tuner-hertz") == "109.0 Hz"
    assert page.text_content("#tuner-wanted") == "in tune at 110.0 Hz"
    page.wait_for_function("() => document.getElementById('tuner-said').textContent")
    assert page.text_content("#tuner-said") == "A string, 16 cents flat"
    shown = "(sign) => getComputedStyle(document.querySelector(`.tuner-note ${sign}`)).display"
    height = "Number(/, (.*)px/.exec(document.querySelector('.tuner-note').style.transform)[1])"
    low = page.evaluate(height)
    assert (page.evaluate(shown, "circle"), page.evaluate(shown, "rect")) == ("inline", "none")
    page.evaluate("fake.play([110.1, 0.2], [220.2, 0.1])")
    wait_for_words(page, "In tune")
    assert page.evaluate(height) < low
    assert (page.evaluate(shown, "circle"), page.evaluate(shown, "rect")) == ("none", "block")


def test_a_press_on_a_string_fixes_it(opened: Any) -> None:
    page = listening(opened)
    page.click("#tuner-strings button[data-string='0']")
    page.evaluate("fake.play([98, 0.2], [196, 0.1])")
    wait_for_words(page, "More than a semitone sharp: tune down")
    assert page.text_content("#tuner-note").split() == ["E", "string", "6"]


def test_an_octave_is_called_so_and_measured_by_itself(opened: Any) -> None:
    page = listening(opened)
    page.evaluate("fake.play([400.1, 0.2])")
    page.wait_for_function("() => practice.tuner.reading?.isOctave")
    assert page.text_content("#tuner-hertz").startswith("its octave, 4")
    assert page.text_content("#tuner-wanted") == "in tune at 392.0 Hz"


@pytest.mark.parametrize(
    ("string", "hertz", "first", "last"),
    [
        (0, 400.1, "That is not the E string: E 6 is in tune at 82.4 Hz", "you hear 40"),
        (1, 82.5, "That is not the A string, or it is still loose: A 5 is in tune", "you hear 82."),
    ],
)
def test_another_string_than_the_fixed_one_is_not_to_be_tuned(
    opened: Any, string: int, hertz: float, first: str, last: str
) -> None:
    page = listening(opened)
    page.click(f"#tuner-strings button[data-string='{string}']")
    page.evaluate("(hertz) => fake.play([hertz, 0.2])", hertz)
    wait_for_words(page, first)
    words = page.text_content("#tuner-words")
    assert last in words
    assert "tune up" not in words
    assert "tune down" not in words
    assert page.is_hidden(".tuner-note")
    assert page.text_content("#states") == f"That is not the {'EA'[string]} string"


def test_the_number_is_never_wider_than_its_ring(opened: Any) -> None:
    page = listening(opened)
    page.click("#tuner-strings button[data-string='0']")
    page.evaluate("fake.play([99.8, 0.2])")  # 331 cents sharp
    wait_for_words(page, "More than a semitone sharp")
    widths = "['text', 'circle'].map((of) => sign.querySelector(of).getBBox().width)"
    number, ring = page.eval_on_selector(".tuner-note", f"(sign) => {widths}")
    assert 0 < number < ring


def test_nothing_of_a_reading_is_left_when_the_microphone_is_off(opened: Any) -> None:
    page = listening(opened)
    page.evaluate("fake.play([109, 0.2])")
    page.wait_for_function("() => document.getElementById('tuner-said').textContent")
    page.click("#tuner-listen")
    parts = "note, #tuner-hertz, #tuner-wanted, #tuner-said, .tuner-note"
    left = page.eval_on_selector_all(f"#tuner-{parts}", "(all) => all.map((o) => o.textContent)")
    assert [words.strip() for words in left] == [""] * 5
    assert page.text_content("#tuner-words") == "Start the microphone, then play one string."
    assert page.text_content("#states") == ""


def test_it_listens_again_when_a_note_to_tune_by_has_stopped(opened: Any) -> None:
    page = listening(opened)
    for note in (0, 1):
        page.click(f"#tuner-notes button >> nth={note}")
        assert page.text_content("#tuner-words").startswith(
            "The microphone is off while this string sounds"
        )
        assert page.evaluate("practice.tuner.listener.listens") is False
    page.click("#tuner-notes button >> nth=1")
    page.wait_for_function("() => practice.tuner.listener.listens")
    page.click("#tuner-listen")
    page.click("#tuner-notes button >> nth=0")
    page.click("#tuner-notes button >> nth=0")
    assert page.text_content("#tuner-words").startswith("Start the microphone")


def test_it_stops_where_its_button_is_out_of_sight(opened: Any) -> None:
    page = listening(opened, viewport={"width": 360, "height": 740})
    page.click("#more")
    page.wait_for_function("() => !practice.tuner.listener.listens")
    page.keyboard.press("t")
    page.wait_for_function("() => practice.tuner.listener.listens")
    page.click("#tuner-notes button >> nth=0")
    page.click("#tuner h2 button")
    page.wait_for_function("() => practice.tuner.notes.pitch === null")
    assert page.evaluate("practice.tuner.listener.listens || practice.tuner.opening") is False


def test_a_phone_on_its_side_shows_the_whole_reading(opened: Any) -> None:
    page = listening(opened, viewport={"width": 740, "height": 360})
    page.evaluate("fake.play([109, 0.2])")
    wait_for_words(page, "tune up")
    page.evaluate("() => practice.tuner.open()")
    bounds = "[...document.querySelectorAll('#tuner-listen, #tuner-wanted, .tuner-staff')]"
    lowest = page.evaluate(f"Math.max(...{bounds}.map((o) => o.getBoundingClientRect().bottom))")
    highest = page.evaluate(f"Math.min(...{bounds}.map((o) => o.getBoundingClientRect().top))")
    assert highest >= 0
    assert lowest <= page.evaluate(
        "document.getElementById('drawer').getBoundingClientRect().bottom"
    )


def test_a_reader_of_another_pitch_sees_the_note_that_he_writes(opened: Any) -> None:
    page = listening(opened, "#show=staff&for=Bb")
    page.evaluate("fake.play([440, 0.2], [880, 0.1])")
    wait_for_words(page, "In tune")
    assert page.text_content("#tuner-name") == "B"
    about = page.text_content("#tuner-about")
    assert about.startswith("Notes are named as B♭ instruments write them. A is 440 Hz")


def test_the_microphone_is_plain_and_closed_after_use(opened: Any) -> None:
    page = listening(opened)
    wish = page.evaluate("fake.wish.audio")
    assert (wish["echoCancellation"], wish["autoGainControl"]) == (False, False)
    page.click("#tuner-listen")
    assert page.evaluate("fake.stream.getTracks().map((track) => track.readyState)") == ["ended"]


def test_nothing_sounds_while_the_tuner_listens(opened: Any) -> None:
    page = listening(opened)
    page.click("#tuner-notes button >> nth=0")
    assert page.evaluate("practice.tuner.listener.listens") is False
    assert page.get_attribute("#tuner-notes button >> nth=0", "aria-pressed") == "true"
    page.evaluate("() => practice.tuner.toggle()")
    page.wait_for_function("() => practice.tuner.listener.listens")
    assert page.evaluate("practice.tuner.notes.pitch") is None
    page.click("#play")
    assert page.evaluate("practice.tuner.listener.listens") is False
    page.evaluate("() => practice.tuner.toggle()")
    page.wait_for_function("() => practice.tuner.listener.listens")
    assert page.evaluate("practice.stage.playing") is False


def test_play_is_not_listened_to_where_the_microphone_comes_late(opened: Any) -> None:
    page = opened("#show=guitar", before=FAKE_MICROPHONE)
    page.evaluate(
        """() => {
          const ask = navigator.mediaDevices.getUserMedia;
          const allowed = new Promise((allow) => (window.allow = allow));
          navigator.mediaDevices.getUserMedia = (wish) => allowed.then(() => ask(wish));
        }"""
    )
    page.keyboard.press("t")
    assert "asks for the microphone, allow it" in page.text_content("#tuner-words")
    page.click("#play")
    page.evaluate("allow()")
    page.wait_for_function("() => fake.stream?.getTracks()[0].readyState === 'ended'")
    assert page.evaluate("practice.stage.playing") is True
    assert page.evaluate("practice.tuner.listener.listens") is False


def test_a_refusal_is_one_sentence_and_the_notes_still_sound(opened: Any) -> None:
    page = opened("#show=guitar", before=FAKE_MICROPHONE)
    open_panel(page)
    page.evaluate("() => { fake.refusal = 'NotAllowedError'; }")
    page.click("#tuner-listen")
    page.wait_for_selector("#tuner-trouble:not([hidden])")
    assert page.text_content("#tuner-trouble").startswith("The browser may not use the microphone:")
    page.click("#tuner-notes button >> nth=0")
    assert page.evaluate("practice.tuner.notes.pitch") == 40
    assert page.seen.complaints == []


def test_the_key_t_listens_and_stops(opened: Any) -> None:
    page = opened("#show=guitar", before=FAKE_MICROPHONE)
    page.keyboard.press("t")
    page.wait_for_function("() => practice.tuner.listener.listens")
    assert page.is_visible("#tuner-listen")
    page.keyboard.press("t")
    page.wait_for_function("() => !practice.tuner.listener.listens")


def test_a_screen_reader_hears_of_a_swaying_tone_seldom(opened: Any) -> None:
    page = listening(opened)
    page.evaluate(
        """() => {
          window.sentences = [];
          const said = document.getElementById("tuner-said");
          new MutationObserver(() => sentences.push(said.textContent))
            .observe(said, { childList: true });
          let n = 0;
          setInterval(() => fake.tones[0]?.frequency.setValueAtTime(109 + 0.2 * (n++ % 2), 0), 100);
          fake.play([109, 0.2]);
        }"""
    )
    page.wait_for_function("() => sentences.length")
    page.wait_for_timeout(700)
    assert len(page.evaluate("sentences")) == 1


def test_it_listens_in_firefox_too(in_firefox: Callable[..., Firefox]) -> None:
    fake = {"streams__fake": True, "permission__disabled": True, "audio__fake_frequency": 441}
    page = in_firefox(
        "#show=staff", **{f"media__navigator__{name}": value for name, value in fake.items()}
    )
    page.evaluate("() => { practice.tuner.open(); }")
    page.click("#tuner-listen")
    page.wait_for("practice.tuner.reading?.whole === 4")  # cents above 440 Hz
    assert page.evaluate("document.getElementById('tuner-words').textContent") == (
        "4 cents sharp: too high"
    )


def test_the_browser_s_own_capture_of_a_file_is_read_within_two_cents(
    browser: Any, practice_page: Path, tmp_path: Path
) -> None:
    rng = np.random.default_rng(6)
    tone = wind(197.0, 2.0, rng)
    tone += 0.03 * np.sqrt(np.mean(tone**2)) * noise(len(tone), rng)
    file = tmp_path / "g.wav"
    soundfile.write(file, 0.1 * tone, RATE, subtype="PCM_16")
    flags = (
        "--use-fake-ui-for-media-stream",
        "--use-fake-device-for-media-stream",
        f"--use-file-for-fake-audio-capture={file}",
    )
    running = browser.browser_type.launch(
        executable_path=str(CHROMIUM), headless=True, args=[*ARGUMENTS, *flags]
    )
    page = running.new_page()
    page.goto(f"{practice_page.as_uri()}#show=guitar")
    page.wait_for_function("() => globalThis.practice?.ready")
    page.keyboard.press("t")
    found = page.wait_for_function("() => practice.tuner.reading").json_value()
    running.close()
    assert (found["note"], found["number"]) == ("G", 3)
    assert abs(cents(found["hertz"], 197.0)) < EXACT


def test_the_student_s_own_instrument_stays_and_a_link_s_tuning_of_it_comes_first(
    opened: Any, practice_page: Path
) -> None:
    page = opened("#show=staff")
    open_panel(page)
    page.select_option("#tuner-what", "guitar")
    for link, what in (("show=bass", "guitar"), ("show=guitar&strings=drop-d", "drop-d")):
        page.goto("about:blank")
        page.goto(f"{practice_page.as_uri()}#{link}")
        page.wait_for_function("() => globalThis.practice?.ready")
        assert page.evaluate("practice.tuner.tuned.what") == what
    page.evaluate("() => { location.hash = '#show=bass'; }")
    page.wait_for_function("() => practice.tuner.tuned.what === 'bass'")
