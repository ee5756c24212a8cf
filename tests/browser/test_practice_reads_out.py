"""The practice page read by a screen reader and used without a pointer."""

from __future__ import annotations

from typing import Any

import pytest

from groove.form.read import read_form
from groove.lesson.guide import write_guide
from tests.browser.practice_material import FORM, go_to

PLAN = write_guide(read_form("twelve-bar", **FORM)).plan
PRESSED = ("button", "combobox", "slider", "spinbutton", "checkbox")


def read_out(page: Any) -> list[tuple[str, str]]:
    """Role and name of what Chromium hands to a screen reader, in its order."""
    session = page.context.new_cdp_session(page)
    nodes = session.send("Accessibility.getFullAXTree")["nodes"]
    by_id = {node["nodeId"]: node for node in nodes}
    found: list[tuple[str, str]] = []

    def walk(node: dict[str, Any]) -> None:
        if not node["ignored"]:
            found.append((node["role"]["value"], node.get("name", {}).get("value", "")))
        for child in node.get("childIds", []):
            if child in by_id:
                walk(by_id[child])

    walk(nodes[0])
    return found


MACHINES = [
    "Just play", "Rest between rounds", "A little faster", "Keep the time", "Trade fours",
    "Trade fours over the drums", "Call and response", "Click on 2 and 4", "Metronome",
    "Metronome with gaps",
]  # fmt: skip


def test_what_is_heard_first_is_the_title_then_play(opened: Any) -> None:
    heard = [entry for entry in read_out(opened()) if entry[0] in ("heading", "button", "region")]
    assert heard[:3] == [("heading", "Ferry Landing"), ("region", "Play"), ("button", "Play")]


def test_every_control_has_a_name_that_says_what_it_does(opened: Any) -> None:
    page = opened("#rounds=4&tempo=100")
    page.click("#machines-title button")
    controls = [entry for entry in read_out(page) if entry[0] in PRESSED]
    bars = [f"Bar {n}: {chord}7" for n, chord in enumerate("AAAADDAAEDAA", 1)]
    assert controls == [
        ("button", "Play"),
        ("combobox", "Key"),
        ("slider", "Tempo"),
        ("spinbutton", "Tempo, beats a minute"),
        ("button", "Tap the tempo"),
        *(("button", bar) for bar in bars),
        ("button", "Bars to practise"),
        ("spinbutton", "Bars from"),
        ("spinbutton", "to bar"),
        ("button", "All 12 bars"),
        ("combobox", "Written for"),
        ("button", "Under your hands"),
        ("combobox", "Show on"),
        ("combobox", "Tuning"),
        ("combobox", "Notes"),
        ("combobox", "Position"),
        ("spinbutton", "first finger at fret"),
        ("checkbox", "Left-handed"),
        ("button", "Scale, as it is drawn, over A7"),
        ("button", "Arpeggio of A7"),
        ("button", "Hear A minor pentatonic"),
        ("button", "Hear A major pentatonic"),
        ("button", "Scale, as it is drawn, over D7"),
        ("button", "Arpeggio of D7"),
        ("button", "Practice plan"),
        *(("checkbox", f"{step.title}, {step.minutes} min") for step in PLAN.steps),
        *(
            entry
            for tempo in PLAN.ladder
            for entry in (("button", f"Play at {tempo}"), ("checkbox", f"{tempo} is done"))
        ),
        ("button", "Hear it"),
        ("button", "Practice machines"),
        *(("button", name) for name in MACHINES),
        ("checkbox", "Round and round"),
        ("spinbutton", "Stop after rounds"),
        ("checkbox", "Count-in"),
        ("combobox", "Screen reader says"),
        ("button", "Who plays"),
        *(
            entry
            for part in ("drums", "bass", "comping", "click")
            for entry in (("checkbox", part), ("slider", f"Volume of the {part}"))
        ),
        ("combobox", "Solo"),
        ("button", "Said aloud"),
        ("button", "Record yourself"),
        ("button", "Tuner"),
        ("button", "Take it with you"),
        ("button", "MIDI file"),
        ("button", "WAV file"),
        ("button", "Print the sheet"),
        ("button", "Copy a link"),
        ("button", "Keys"),
        ("button", "On this device"),
        ("combobox", "Layout"),
    ]


def test_signs_of_music_are_read_as_words(shown: Any) -> None:
    heard = read_out(shown("#key=Eb&fret=5&scale=tones"))
    assert ("button", "Bar 1: E flat 7") in heard
    assert ("list", "Notes of E flat 7") in heard
    assert ("heading", "Now E flat 7 I7") in heard
    picture = next(name for role, name in heard if role == "image")
    assert picture.startswith("E flat 7 on the guitar, first finger at fret 5: ")
    assert "E flat string 3 fret 8, G string 2 fret 8" in picture


def test_a_degree_is_read_as_a_word_apart_from_its_note(shown: Any) -> None:
    page = shown("#key=F")
    unseen = page.locator(".card.now .tones li:last-child .unseen").all_text_contents()
    assert unseen == ["E flat", ",", "flat seventh"]


def test_the_layout_that_a_key_brings_is_announced(shown: Any) -> None:
    page = shown()
    page.keyboard.press("v")
    assert page.inner_text("#said") == "Layout for the hand: chord, drawing, chart"


SAID = {
    "E♭m7♭5": "E flat minor 7 flat 5",
    "F♯°7": "F sharp diminished 7",
    "Gm(maj7)/B♭": "G minor major 7 over B flat",
    "C6/9": "C6/9",
    "A7alt": "A7 altered",
    "Dsus4": "D suspended 4",
    "B♭ major": "B flat major",
    "C♯ minor blues": "C sharp minor blues",
}


def test_chords_and_keys_are_said_as_musicians_say_them(shared: Any) -> None:
    said = go_to(shared, "#key=A").evaluate(
        "(names) => names.map(practice.spokenChord)", list(SAID)
    )
    assert said == list(SAID.values())


def test_the_chord_is_announced_to_a_screen_reader(opened: Any) -> None:
    page = opened("#bars=9-12&countin=off")
    page.click("#play")
    page.wait_for_function("() => document.getElementById('said').textContent")
    assert page.inner_text("#said") == "Bar 9: E7."
    assert page.get_attribute("#said", "aria-live") == "polite"


def test_a_chord_is_announced_a_beat_before_it_sounds(opened: Any) -> None:
    page = opened("#bars=9-10&countin=off&tempo=80")
    page.evaluate(
        """() => new MutationObserver(() => (window.announced ??= []).push(
          [document.getElementById('said').textContent, practice.stage.place().tick]))
          .observe(document.getElementById('said'), { childList: true })"""
    )
    page.click("#play")
    page.wait_for_function("() => window.announced?.length === 3")
    (_, first), (second, at), (third, again) = page.evaluate("window.announced")
    assert (second, third) == ("Bar 10: D7.", "Round 2. Bar 9: E7.")
    beat = 960
    assert at - first == pytest.approx(3 * beat, abs=beat / 2)  # in the fourth beat of bar 9
    assert again - first == pytest.approx(7 * beat, abs=beat / 2)


def test_the_first_chord_is_announced_in_the_last_beat_of_the_count_in(opened: Any) -> None:
    page = opened("#bars=9-10&tempo=80")
    page.click("#play")
    page.wait_for_function("() => document.getElementById('said').textContent === 'Bar 9: E7.'")
    assert page.evaluate("practice.stage.place().stage") == "counting"


TOLD = """({ told, seconds }) => {
  const bars = [[9, ['E7']], [10, ['D7']], [11, ['A7']], [12, ['A7', 'E7']]], said = [];
  const speech = new practice.Speech((words) => said.push(words));
  for (let n = 0; n < 8; n++) {
    const [bar, chords] = bars[n % 4], round = Math.floor(n / 4);
    for (const part of [0, 0.4]) { // more than once in a bar
      const key = ['A', 'B♭'][round];
      const next = bars[(n % 4) + 1]?.[1];
      const lasts = 1000 * seconds;
      speech.follow(told, { bar, round, key, chords, next, lasts }, lasts * (n + part));
    }
  }
  return said;
}"""
"""Bars 9 to 12 of a blues in A, then again in B flat."""


@pytest.mark.parametrize(
    ("told", "seconds", "words"),
    [
        ("chords", 3, ["Bar 9: E7.", "Bar 10: D7.", "Bar 11: A7.", "Bar 12: A7, E7.",
                       "Round 2. Key of B flat.", "Bar 10: D7.", "Bar 11: A7.", "Bar 12: A7, E7."]),
        ("chords", 1.4, ["E7.", "D7.", "A7.", "A7, E7.",
                         "Round 2. Key of B flat.", "A7.", "A7, E7."]),
        ("chords", 0.8, ["E7, then D7.", "A7.", "A7, E7.",
                         "Round 2. Key of B flat. D7, then A7."]),
        ("rounds", 3, ["Round 2. Key of B flat."]),
        ("nothing", 3, []),
    ],
)  # fmt: skip
def test_a_screen_reader_gets_only_news_and_no_more_than_it_can_say(
    shared: Any, told: str, seconds: float, words: list[str]
) -> None:
    assert go_to(shared, "#key=A").evaluate(TOLD, {"told": told, "seconds": seconds}) == words


def test_the_chart_is_one_stop_and_the_arrows_walk_in_it(opened: Any) -> None:
    page = opened()
    page.focus("#tap")
    page.keyboard.press("Tab")
    name = "document.activeElement.getAttribute('aria-label').split(':')[0]"
    been = [page.evaluate(name)]
    for key in ("ArrowRight", "ArrowDown", "ArrowDown", "ArrowDown", "ArrowUp", "End", "Home"):
        page.keyboard.press(key)
        been.append(page.evaluate(name))
    numbers = [int(each.removeprefix("Bar ")) for each in been]
    assert numbers == [1, 2, 6, 10, 10, 6, 12, 1]
    for _ in range(2):  # past the heading that folds
        page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.id") == "from"


def test_whatever_has_the_focus_shows_it(opened: Any) -> None:
    page = opened("#rounds=4")
    bare = []
    for _ in range(60):
        page.keyboard.press("Tab")
        here, width = page.evaluate(
            "[document.activeElement.outerHTML.slice(0, 60),"
            " parseFloat(getComputedStyle(document.activeElement).outlineWidth)]"
        )
        if not here.startswith("<body") and width < 2:
            bare.append(here)
    assert bare == []


def test_the_space_bar_plays_after_a_press_with_the_pointer(shown: Any) -> None:
    page = shown()
    page.click("#tap")
    page.keyboard.press("Space")
    assert page.evaluate("practice.stage.playing")
    page.keyboard.press("Space")
    assert not page.evaluate("practice.stage.playing")


def test_the_space_bar_belongs_to_what_the_tab_key_came_to(opened: Any) -> None:
    page = opened("#tempo=240")
    page.focus("#tempo")
    page.keyboard.press("Tab")  # to the button for tapping
    for _ in range(3):
        page.keyboard.press("Space")
        page.wait_for_timeout(400)
    assert not page.evaluate("practice.stage.playing")
    assert page.evaluate("practice.settings.tempo") < 240  # it was tapped
    page.evaluate("document.querySelector('#machines-title button').click()")
    page.focus("#count-in")
    page.keyboard.press("Space")
    assert not page.is_checked("#count-in")
    assert not page.evaluate("practice.stage.playing")
