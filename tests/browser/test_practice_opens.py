"""The practice page as it opens: no network request, no error, accessible."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.browser.practice_material import print_preview

MOST_BYTES = 4_000_000
SIZES = [(320, 640), (768, 1024), (1440, 900)]
VIEWS = ["play", "stand", "page"]


def test_the_page_asks_for_nothing_and_complains_of_nothing(
    opened: Any, practice_page: Path
) -> None:
    page = opened()
    page.click("#play")
    page.wait_for_timeout(300)
    page.click("#play")
    from_outside = [url for url in page.seen.requests if not url.startswith("blob:null/")]
    assert from_outside == [practice_page.as_uri()]
    assert page.seen.complaints == []


def test_the_policy_of_the_page_forbids_requests(opened: Any) -> None:
    page = opened()
    refused = page.evaluate("fetch('data:text/plain,hello').then(() => false, () => true)")
    assert refused


def test_the_page_is_under_four_megabytes(practice_page: Path) -> None:
    assert practice_page.stat().st_size < MOST_BYTES


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_nothing_reaches_beyond_the_side_of_the_screen(shown: Any, width: int, height: int) -> None:
    page = shown(viewport={"width": width, "height": height})
    for view in VIEWS:
        page.evaluate("(view) => practice.layout.choose(view)", view)
        assert page.evaluate("document.documentElement.scrollWidth") == width


def test_a_word_that_is_longer_than_the_screen_is_broken(opened: Any) -> None:
    page = opened(viewport={"width": 320, "height": 640})
    page.evaluate("() => { document.querySelector('h1').textContent = 'W'.repeat(60); }")
    assert page.evaluate("document.documentElement.scrollWidth") == 320


NECKS = """() => [...document.querySelectorAll('.card .neck')].map((neck) => {
  const { left, top, width } = neck.getBoundingClientRect();
  return [left, top + scrollY, width].map(Math.round);
})"""


@pytest.mark.parametrize("width", [320, 390, 600, 768, 1024, 1280, 1440])
def test_drawings_stay_where_they_are_from_chord_to_chord(shown: Any, width: int) -> None:
    page = shown("#bars=1&view=page", viewport={"width": width, "height": 800})
    places = []
    for bar in (1, 4, 8, 9, 10, 12):
        page.evaluate("(bar) => { location.hash = `#bars=${bar}&view=page`; }", bar)
        page.wait_for_function("(bar) => practice.settings.from === bar", arg=bar)
        places.append(page.evaluate(NECKS))
    assert places == [places[0]] * len(places)
    assert len(places[0]) == 2


@pytest.mark.parametrize("width", [320, 390, 768, 1440])
def test_long_chords_fit_into_their_bars(shown: Any, crowded_page: Path, width: int) -> None:
    page = shown(path=crowded_page, viewport={"width": width, "height": 800})
    page.click("#play")
    page.wait_for_selector(".bar[aria-current]")
    assert page.evaluate("document.documentElement.scrollWidth") == width
    beyond = page.evaluate(
        """[...document.querySelectorAll('.chord')].filter((chord) => {
          const words = document.createRange();
          words.selectNodeContents(chord);
          const [inner, bar] = [words, chord.closest('.bar')].map((e) => e.getBoundingClientRect());
          return inner.right > bar.right;
        }).map((chord) => chord.textContent)"""
    )
    assert beyond == []
    sizes = page.evaluate(
        "[...document.querySelectorAll('.chords')]"
        ".map((e) => parseFloat(getComputedStyle(e).fontSize))"
    )
    assert min(sizes) >= 13  # CSS pixels


def test_the_chord_that_sounds_is_big_wherever_the_page_is_scrolled(shown: Any) -> None:
    page = shown(
        "#bars=9-12&countin=off&tempo=60&view=page", viewport={"width": 390, "height": 844}
    )
    page.click("#play")
    page.wait_for_selector(".bar[aria-current]")
    page.locator("#take-away").scroll_into_view_if_needed()
    assert (page.inner_text("#chord-now"), page.inner_text("#chord-next")) == ("E7", "D7")
    box = page.locator("#chord-now").bounding_box()
    assert 0 < box["y"] < 844
    assert box["height"] >= 30


def test_what_is_practised_is_seen_without_the_page_s_own_colours(shown: Any) -> None:
    page = shown("#bars=2-6", forced_colors="active")
    edges = page.evaluate(
        "[...document.querySelectorAll('.bar')].map((e) => getComputedStyle(e).borderTopWidth)"
    )
    assert [edge != "0px" for edge in edges] == [False] + [True] * 5 + [False] * 6


def test_controls_are_big_enough_for_a_finger(shown: Any) -> None:
    page = shown(viewport={"width": 320, "height": 640})
    small = page.evaluate(
        """[...document.querySelectorAll('button, select, input:not([type=checkbox])')]
        .filter((e) => e.offsetParent && Math.min(e.offsetHeight, e.offsetWidth) < 44)
        .map((e) => e.id || e.className)"""
    )  # 44 CSS pixels: WCAG 2.2, success criterion 2.5.5 (from memory)
    assert small == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_an_accessibility_checker_finds_nothing(opened: Any, axe: str, scheme: str) -> None:
    page = opened("#bars=5-8", color_scheme=scheme)
    page.click("#play")
    page.wait_for_selector(".bar[aria-current]")
    page.evaluate(axe)
    found = page.evaluate("axe.run().then((r) => r.violations.map((v) => [v.id, v.nodes[0].html]))")
    assert found == []


IN_VIEW = """() => {
  const bar = document.querySelector('.bar[aria-current]')?.getBoundingClientRect();
  const end = document.getElementById('transport').getBoundingClientRect().top;
  return Boolean(bar) && bar.top >= 0 && bar.bottom <= end;
}"""


def test_the_bar_that_sounds_is_in_view_unless_the_student_looks_elsewhere(shown: Any) -> None:
    page = shown(
        "#bars=11-12&countin=off&tempo=240&view=page",
        viewport={"width": 320, "height": 500},
        reduced_motion="reduce",
    )
    page.click("#play")
    page.wait_for_function(IN_VIEW)
    page.locator("#take-away").scroll_into_view_if_needed()
    here = page.evaluate("scrollY")
    page.wait_for_timeout(1200)
    assert page.evaluate("scrollY") == here


def test_play_never_scrolls_away_from_the_fretboard(shown: Any) -> None:
    page = shown(
        "#bars=1-2&countin=off&tempo=240&view=page",
        viewport={"width": 360, "height": 740},
        reduced_motion="reduce",
    )
    for card in (".card.now", ".card.next"):
        page.evaluate("(card) => document.querySelector(card).scrollIntoView()", card)
        here = page.evaluate("scrollY")
        assert here > 0
        page.click("#play")
        page.wait_for_function("() => practice.stage.place()?.round === 1")
        assert page.evaluate("scrollY") == here
        page.click("#play")


def test_the_stop_button_stays_in_view_on_a_phone_on_its_side(shown: Any) -> None:
    page = shown("#view=page", viewport={"width": 740, "height": 360})
    page.click("#play")
    for place in ("#stand", "#hands", "#take-away"):
        page.evaluate("(place) => document.querySelector(place).scrollIntoView()", place)
        box = page.locator("#play").bounding_box()
        assert 0 <= box["y"] <= 360 - box["height"]
        assert box["x"] >= 0
    bar = page.locator("#transport").bounding_box()
    assert bar["height"] <= 360 / 5  # the chart needs the room
    reach = page.evaluate(
        "[...document.querySelectorAll('#transport button, #transport select,"
        " #transport input')].map((e) => e.getBoundingClientRect().right)"
    )
    assert max(reach) <= 740


NUMBERS = """() => [...document.querySelectorAll('.bar .number')]
  .filter((number) => number.offsetParent)
  .map((number) => [Number(number.textContent),
    number.getBoundingClientRect().right < number.parentElement.getBoundingClientRect().left])"""


@pytest.mark.parametrize("width", [360, 740, 1280])
def test_numbers_stand_at_the_start_of_a_line_outside_the_bar_line(shown: Any, width: int) -> None:
    page = shown(viewport={"width": width, "height": 800})
    assert page.evaluate(NUMBERS) == [[1, True], [5, True], [9, True]]


@pytest.mark.parametrize("width", [740, 1280])
def test_bars_have_the_widths_of_the_written_chart(
    shown: Any, crowded_page: Path, width: int
) -> None:
    page = shown("#view=page", crowded_page, viewport={"width": width, "height": 800})
    shares = page.evaluate("practice.track.lines.flat()")
    wide = page.evaluate(
        "[...document.querySelectorAll('.bar')].map((bar) => bar.getBoundingClientRect().width"
        " / bar.parentElement.clientWidth)"
    )
    assert len(set(shares)) > 1
    assert wide == pytest.approx(shares, abs=0.002)


def test_a_line_that_does_not_fit_is_broken_and_numbered_there(
    shown: Any, crowded_page: Path
) -> None:
    page = shown(path=crowded_page, viewport={"width": 320, "height": 640})
    assert page.evaluate(NUMBERS) == [[1, True], [2, True], [3, True], [4, True]]


def test_the_bar_that_sounds_has_a_heavy_rule_and_a_tint(shown: Any) -> None:
    page = shown("#countin=off", color_scheme="light")
    style = (
        "(bar) => { const { backgroundColor, color, boxShadow } = getComputedStyle(bar);"
        " return [backgroundColor, color, boxShadow]; }"
    )
    silent = page.locator(".bar").nth(4).evaluate(style)
    page.click("#play")
    page.wait_for_selector(".bar[aria-current]")
    sounding = page.locator(".bar[aria-current]").evaluate(style)
    assert silent[0] == "rgba(0, 0, 0, 0)"
    assert sounding[0] == "rgb(242, 221, 231)"  # as pale as paper
    assert sounding[1] == silent[1]  # dark ink on it
    assert "-7.2px" in sounding[2]  # a rule along the foot


def test_cards_stay_while_the_chords_do(opened: Any) -> None:
    page = opened("#bars=1-2&countin=off&tempo=240")
    page.click("#play")
    page.wait_for_selector(".bar[aria-current]")
    page.evaluate("() => { document.querySelector('.card').id = 'same'; }")
    page.wait_for_function("() => practice.stage.place()?.round === 1")
    assert page.locator("#same").count() == 1


def test_the_sheet_is_written_when_it_is_printed(opened: Any) -> None:
    page = opened("#key=C")
    assert page.inner_html("#sheet") == ""
    page.pdf()
    assert "C mixolydian" in page.inner_html("#sheet")


def test_numbers_in_print_stand_at_the_start_of_a_line(shown: Any) -> None:
    page = shown()
    print_preview(page)
    assert page.locator(".sheet-line .number").all_inner_texts() == ["1", "5", "9"]


def test_a_chart_for_b_flat_instruments_is_a_tone_higher(shown: Any) -> None:
    page = shown("#for=Bb")
    assert page.inner_text("#stand-title") == "The chords in B blues for B♭ instruments"
    assert page.get_by_role("button", name="Bar 1: B7", exact=True).is_visible()


def test_the_arpeggio_lies_where_the_student_asked(shown: Any) -> None:
    page = shown("#show=guitar&fret=5&scale=tones")
    assert page.get_attribute(".now .neck", "aria-label") == (
        "A7 on the guitar, first finger at fret 5: A string 6 fret 5, C sharp string 5 fret 4, "
        "E string 5 fret 7, G string 4 fret 5, A string 4 fret 7, C sharp string 3 fret 6, "
        "E string 2 fret 5, G string 2 fret 8, A string 1 fret 5"
    )  # the shape that every method teaches for A7 at the fifth fret (common practice)


def test_print_shows_the_sheet_alone(shown: Any) -> None:
    page = shown("#key=C")
    print_preview(page)
    assert page.is_visible("#sheet")
    assert not page.is_visible("#screen")
    assert not page.is_visible("#transport")
    assert "C minor pentatonic: C E♭ F G B♭" in page.inner_text("#sheet")
    assert "C mixolydian: C D E (F) G A B♭. Pass over what is in brackets." in page.inner_text(
        "#sheet"
    )
    headings = page.locator(".lesson h3").all_inner_texts()
    assert [heading.split() for heading in headings] == [["C7", "I7"], ["F7", "IV7"], ["G7", "V7"]]


@pytest.mark.parametrize(
    ("shape", "words"),
    [("bass", "on the neck"), ("keyboard", "on the keys"), ("off", "within one octave")],
)
def test_the_printed_plan_is_in_the_words_of_the_instrument(
    shown: Any, shape: str, words: str
) -> None:
    page = shown(f"#show={shape}")
    print_preview(page)
    plan = page.inner_text("#sheet")
    assert [said in plan for said in ("on the neck", "on the keys", "within one octave")] == [
        said == words for said in ("on the neck", "on the keys", "within one octave")
    ]


def test_the_sheet_is_that_of_the_key_that_the_rounds_have_come_to(shown: Any) -> None:
    page = shown("#key=C&bars=1&tempo=240&next=fourths&countin=off")
    page.click("#play")
    page.wait_for_function("() => practice.stage.place()?.round === 1")
    page.click("#play")
    print_preview(page)
    said = page.evaluate("practice.track.keys[practice.settings.key].name.replace('b', '♭')")
    assert f"Sounds in {said} at 240" in page.inner_text("#sheet")
    assert said != "C"
