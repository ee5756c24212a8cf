"""The panel of things to hear: scales, arpeggios, guide tones and licks where they are drawn."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from groove.form.choruses import in_key
from groove.form.read import read_form
from groove.instrument.fretboard import read_tuning
from groove.lesson.solo.make import licks
from groove.lesson.track_lines.guide_tones import guide_tone_line
from groove.theory.keys import Key
from tests.browser.practice_material import FORM, go_to

ASK = """([selector]) => {
  practice.audition.play = (notes, { over, tempo }) => (window.asked = { notes, over, tempo });
  document.querySelector(selector).click();
  return window.asked;
}"""
"""What a press asks the audition to sound."""
DRAWN = """(card) => [...document.querySelectorAll(`#cards .${card} [data-at]`)]
  .map((mark) => mark.dataset.at)"""


def asked(page: Any, selector: str) -> Any:
    return page.evaluate(ASK, [selector])


def unfolded(page: Any) -> Any:
    page.click("#hear .fold")
    return page


def up_and_down(values: list[Any]) -> list[Any]:
    return [*values, *values[-2::-1]]


def test_a_scale_goes_through_the_very_dots_of_the_neck_up_and_down(shared: Any) -> None:
    page = go_to(shared, "#key=A&show=guitar&fret=5&tempo=100&pace=50&silent=click")
    found = asked(page, "#cards .now [data-hear=drawn]")
    marks = [note["mark"] for note in found["notes"]]
    drawn = page.evaluate(DRAWN, "now")
    strings = read_tuning("guitar").open_strings
    places = [(int(mark.split("-")[0]), int(mark.split("-")[1])) for mark in drawn]
    pitch = {m: strings[-s] + f for m, (s, f) in zip(drawn, places, strict=True)}
    assert marks == up_and_down(sorted(drawn, key=pitch.__getitem__))
    assert [note["pitch"] for note in found["notes"]] == [pitch[mark] for mark in marks]
    assert found["tempo"] == 50
    assert len(found["over"]["pitches"]) >= 3
    assert {note % 12 for note in found["over"]["pitches"]} <= {9, 1, 4, 7, 11, 6}  # A13


def test_an_arpeggio_rises_by_the_tones_of_the_chord_in_the_hand(shared: Any) -> None:
    page = go_to(shared, "#key=C&show=guitar&fret=8&hear=alone&scale=tones")
    found = asked(page, "#cards .now [data-hear=arpeggio]")
    pitches = [note["pitch"] for note in found["notes"]]
    assert pitches == up_and_down([48, 52, 55, 58])  # C7
    assert {note["mark"] for note in found["notes"]} <= set(page.evaluate(DRAWN, "now"))
    assert found["over"] is None


def test_without_a_neck_a_scale_takes_an_octave(shared: Any) -> None:
    page = go_to(shared, "#key=A&show=keyboard")
    keys = asked(page, "#cards .now [data-hear=drawn]")["notes"]
    assert [note["pitch"] for note in keys] == up_and_down([57, 60, 62, 64, 67, 69])
    assert [note["mark"] for note in keys][:3] == ["9", "12", "14"]
    page.select_option("#shape", "off")
    page.select_option("#written", "Bb")  # reads B where A sounds
    plain = asked(page, "#hear [data-hear=drawn]")["notes"]
    assert [note["pitch"] for note in plain] == up_and_down([57, 60, 62, 64, 67, 69])


def test_a_scale_of_a_card_is_heard_by_its_name(shared: Any) -> None:
    page = go_to(shared, "#key=A&show=keyboard")
    title = page.locator("#cards .now .scale-name").nth(1).inner_text()
    assert title == "A major pentatonic"
    found = asked(page, f'#cards .now [data-hear="{title}"]')
    assert [note["pitch"] for note in found["notes"]][:6] == [57, 59, 61, 64, 66, 69]


@pytest.mark.parametrize("key", ["A", "Eb"])
def test_guide_tones_are_the_lines_of_the_lesson_sheet(key: str, shared: Any) -> None:
    form = in_key(read_form("twelve-bar", **FORM), Key.parse(key))
    line, _ = guide_tone_line(form, None)
    ours: dict[int, list[int]] = {}
    for note in line.notes:
        ours.setdefault(note.start, []).append(note.pitch)
    page = go_to(shared, f"#key={key}&show=keyboard&hear=alone")
    found = {
        n["at"]: sorted(n["pitches"]) for n in asked(page, "#hear [data-hear=guides]")["notes"]
    }
    assert {at: found[at] for at in ours} == ours
    names = page.locator("#hear-guides li").first.locator("i").all_inner_texts()
    assert set(names) == ({"G", "C♯"} if key == "A" else {"D♭", "G"})


@pytest.mark.parametrize("key", ["A", "F"])
def test_licks_are_those_of_the_lesson_sheet(key: str, shared: Any) -> None:
    form = in_key(read_form("twelve-bar", **FORM), Key.parse(key))
    page = go_to(shared, f"#key={key}&show=guitar")
    for number, line in enumerate(licks(form, read_tuning("guitar"))):
        notes = asked(page, f"#hear [data-lick='{number}']")["notes"]
        assert [(n["at"], n["length"], n["pitch"]) for n in notes] == [
            (note.start, note.length, note.pitch) for note in line.notes
        ]
        frets = page.locator(".lick").nth(number).locator("rect + text").all_text_contents()
        assert frets == [str(note.place.fret) for note in line.notes if note.place]


def test_each_note_that_sounds_lights_on_the_drawing(opened: Any) -> None:
    page = opened("#key=A&show=guitar&tempo=200&pace=100")
    page.focus("#cards .now [data-hear=drawn]")
    page.keyboard.press("Enter")
    page.wait_for_selector("#cards .now .tone.lit")
    lit = "[...document.querySelectorAll('.tone.lit')].map((mark) => mark.dataset.at)"
    first = page.evaluate(lit)
    assert len(first) == 1
    page.wait_for_function(f"(first) => {lit}.join() && {lit}.join() !== first", arg=first[0])
    assert page.get_attribute("#cards .now [data-hear=drawn]", "aria-pressed") == "true"
    page.keyboard.press("Enter")  # again: it stops
    assert page.evaluate(lit) == []
    assert page.is_disabled("#hear-stop")


def test_over_the_band_the_run_goes_with_the_chords(shown: Any) -> None:
    page = shown("#key=A&show=guitar&scale=tones&tempo=300&bars=4-5&countin=off")
    page.evaluate("() => { practice.heard = (note) => (window.notes ??= []).push(note); }")
    page.click("#play")
    page.wait_for_function("() => practice.stage.place()?.tick > 4 * practice.track.barTicks * 0.9")
    page.evaluate("document.querySelector('#cards .now [data-hear=drawn]').click()")
    own = "window.notes.filter(({ part }) => part.startsWith('audition'))"
    page.wait_for_function(f"() => {own}.length >= 8")
    notes = page.evaluate(own)
    bar = 4 * 960
    chords = {3: {9, 1, 4, 7}, 4: {2, 6, 9, 0}}  # A7, D7
    for note in notes:
        place = page.evaluate(f"practice.stage.player.placeAt({note['at']} + 0.001)")
        assert note["pitch"] % 12 in chords[int(place["tick"] // bar) % 12]
    page.click("#play")
    assert page.evaluate("practice.audition.playing") is False


def test_the_example_solo_is_heard_alone_at_a_share_of_the_tempo(opened: Any) -> None:
    page = unfolded(opened("#key=A&tempo=200&pace=50&countin=off&show=guitar"))
    page.evaluate("() => { practice.heard = (note) => (window.notes ??= []).push(note); }")
    assert page.locator("#hear-tab .tab-bar").count() == 4
    page.click("[data-solo=alone]")
    page.wait_for_function("() => window.notes.some(({ part }) => part === 'solo')", timeout=15_000)
    assert page.evaluate("practice.stage.player.marks.at(-1).tempo") == 100
    loud = "practice.stage.band.buses"
    page.wait_for_function(f"() => {loud}.drums.gain.value < 0.01 && {loud}.solo.gain.value > 0.9")
    assert page.input_value("#tempo") == "200"
    assert page.input_value("#solo") == "off"
    page.click("[data-solo=alone]")
    assert page.evaluate("practice.stage.playing") is False
    page.wait_for_function(f"() => {loud}.drums.gain.value > 0.9")
    assert "solo=" not in page.evaluate("location.hash")


def test_listening_to_the_example_reaches_no_tempo(opened: Any) -> None:
    page = unfolded(opened("#key=A&tempo=200&countin=off"))
    page.evaluate("() => { practice.reached.follow = () => { window.followed = true; }; }")
    for press, followed in (("[data-solo=band]", None), ("#play", True)):
        page.click(press)
        page.wait_for_function("() => practice.stage.place()?.tick > 100")
        page.click("#play")
        assert page.evaluate("window.followed") is followed


def test_a_link_keeps_how_things_are_heard(opened: Any) -> None:
    page = unfolded(opened("#key=A"))
    page.select_option("#hear-over", "alone")
    page.select_option("#hear-pace", "85")
    page.wait_for_function(
        "() => location.hash.includes('hear=alone') && location.hash.includes('pace=85')"
    )


def test_the_panel_can_be_read_by_all(opened: Any, axe: str, practice_page: Path) -> None:
    view = {"width": 360, "height": 740}
    page = unfolded(opened("#key=A&show=guitar&view=page", viewport=view))
    page.click("#aloud .fold")
    page.evaluate(axe)
    for place in ("#hear", "#cards", "#aloud"):
        found = page.evaluate(f"axe.run('{place}')")
        assert [each["id"] for each in found["violations"]] == []
    small = page.evaluate(
        """[...document.querySelectorAll("[data-hear], [data-solo], #hear select, #hear-stop")]
        .filter((one) => one.offsetParent)
        .map((one) => one.getBoundingClientRect())
        .filter(({ width, height }) => Math.min(width, height) < 44).length"""
    )
    assert small == 0
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    assert page.seen.complaints == []
