"""The overview of a pack in a real browser: what a student presses, hears and sees there."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import Any

import pytest

from groove.handout.pack.folder import INDEX
from tests.browser.practice_material import Seen
from tests.handout.pack.pack_material import pack_into

SIZES = [(320, 640), (360, 740), (740, 360), (768, 1024), (1440, 900)]


@pytest.fixture(scope="module")
def overview(whole_pack: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The overview of a pack in C and Bb at 90 and 120, with papers for B flat instruments too."""
    folder = tmp_path_factory.mktemp("pack") / "site"
    shutil.copytree(whole_pack, folder)
    pack_into(folder, readers="Bb")
    return folder / INDEX


@pytest.fixture
def opened(browser: Any, overview: Path) -> Iterator[Any]:
    """Opens the overview: opened(fragment, path, **context options) -> page."""
    contexts = []

    def opener(fragment: str = "", path: Path = overview, **options: Any) -> Any:
        contexts.append(browser.new_context(**options))
        page = contexts[-1].new_page()
        page.seen = Seen()
        page.on("request", lambda request: page.seen.requests.append(request.url))
        page.on("console", lambda message: page.seen.complaints.append(message.text))
        page.on("pageerror", lambda error: page.seen.complaints.append(str(error)))
        page.goto(f"{path.as_uri()}{fragment}")
        return page

    yield opener
    for context in contexts:
        context.close()


def _names(addresses: list[str]) -> list[str]:
    return [Path(address).name for address in addresses]


def _sounds(page: Any) -> None:
    """Wait until the track sounds, and goes on."""
    page.wait_for_function("() => !audio.paused && audio.currentTime > 0.05")


def _source(page: Any) -> str:
    return Path(page.evaluate("audio.src")).name


def _choose(page: Any, field: str, value: str) -> None:
    page.check(f"[name={field}][value='{value}']", force=True)  # its square lies over it


# The player


def test_one_press_plays_the_form_as_it_was_made_and_nothing_was_asked_for_before(
    opened: Any,
) -> None:
    page = opened(viewport={"width": 360, "height": 640})
    assert _names(page.seen.requests) == ["index.html", "short-way_C_chart.svg"]
    assert page.locator("#start").bounding_box()["y"] < 600  # seen without scrolling
    page.click("#start")
    _sounds(page)
    assert _names(page.seen.requests[2:]) == ["short-way_C_120.mp3"]
    assert page.inner_text("#start") == "Pause"
    page.click("#start")
    assert page.evaluate("audio.paused")
    assert page.seen.complaints == []


def test_another_key_or_tempo_goes_on_at_the_same_place_of_the_music(opened: Any) -> None:
    page = opened()
    page.evaluate("audio.volume = 0")
    page.click("#start")
    _sounds(page)
    page.evaluate("audio.currentTime = 3")
    _choose(page, "key", "11_B-flat")
    page.wait_for_function("() => audio.readyState && !audio.paused && audio.currentTime > 2.9")
    assert _source(page) == "short-way_B-flat_120.mp3"
    page.click("#start")
    page.evaluate("audio.currentTime = 3")
    _choose(page, "tempo", "90")
    page.click("#start")
    _sounds(page)
    assert 4 <= page.evaluate("audio.currentTime") < 4.5  # 6 beats: 3 s at 120, 4 s at 90


def test_it_plays_without_a_player_and_again_and_again(opened: Any) -> None:
    page = opened()
    page.select_option("[name=mix]", label="Without bass")
    assert _source(page) == "short-way_C_120_without-bass.mp3"
    page.check("#again")
    page.click("#start")
    _sounds(page)
    page.evaluate("audio.currentTime = audio.duration - 0.1")
    page.wait_for_function("() => !audio.paused && audio.currentTime < 2")


def test_its_place_can_be_moved_before_and_while_it_plays(opened: Any) -> None:
    page = opened()
    page.focus("#place")
    page.keyboard.press("End")
    page.keyboard.press("PageDown")
    first, whole = page.get_attribute("#place", "aria-valuetext").split(" of ")
    assert first not in ("0:00", whole)
    page.click("#start")
    _sounds(page)
    assert page.evaluate("audio.currentTime") > 5
    page.fill("#place", "100")
    assert page.evaluate("audio.currentTime") < 3


def test_the_lock_screen_names_what_plays(opened: Any) -> None:
    page = opened("#key=Bb&tempo=90&mix=without-drums")
    shown = page.evaluate(
        "(({ title, artist, album }) => [title, artist, album])(navigator.mediaSession.metadata)"
    )
    assert shown == ["Short Way", "", "B♭ blues, 90 beats a minute, Without drums"]


# What is chosen


def test_chart_files_plan_and_practice_page_are_those_of_the_choice(opened: Any) -> None:
    page = opened()
    _choose(page, "key", "11_B-flat")
    _choose(page, "tempo", "90")
    page.select_option("[name=reader]", "Bb")
    hrefs = page.evaluate("[...document.querySelectorAll('#taken a')].map((a) => a.href)")
    assert _names(hrefs) == [
        f"short-way_B-flat_{end}"
        for end in ("090.mp3", "chart-Bb.pdf", "sheet-Bb.pdf", "090.mid", "chart-Bb.musicxml")
    ]
    page.wait_for_function("() => document.querySelector('#picture img').naturalWidth > 0")
    assert _names([page.get_attribute("#picture img", "src")]) == ["short-way_B-flat_chart-Bb.svg"]
    assert page.inner_text("#opens") == "It opens in C at 90."
    assert page.evaluate("practise.hash") == "#key=Bb&tempo=90&for=Bb"
    assert "C7 (C E G B♭)" in page.text_content("#plan-steps")  # as a B flat instrument reads it


def test_the_button_opens_the_practice_page_as_chosen_and_it_leads_back(opened: Any) -> None:
    page = opened()
    _choose(page, "key", "11_B-flat")
    _choose(page, "tempo", "90")
    page.click("text=Open the practice page")
    page.wait_for_function("() => globalThis.practice?.ready")
    assert page.input_value("#tempo") == "90"
    assert page.locator("#key option:checked").inner_text().startswith("B♭")
    page.evaluate("document.getElementById('overview').click()")  # in the drawer, on a phone
    page.wait_for_url("**/index.html")
    assert page.is_checked("[name=key][value='11_B-flat']")


def test_a_tempo_of_the_plan_opens_the_practice_page_at_it(opened: Any) -> None:
    page = opened()
    _choose(page, "key", "11_B-flat")
    page.select_option("[name=reader]", "Bb")
    first, *_, last = page.locator("#plan-rungs a").all()
    start = first.inner_text()
    assert f"Start at {start}" in page.inner_text("#plan-tempo")
    assert last.inner_text() == "120"
    assert first.get_attribute("aria-label") == f"Play at {start}"
    assert first.evaluate("(link) => link.hash") == f"#key=Bb&tempo={start}&for=Bb"
    first.click()
    page.wait_for_function("() => globalThis.practice?.ready")
    assert page.input_value("#tempo") == start


def test_a_choice_is_kept_and_an_address_with_one_comes_first(opened: Any, overview: Path) -> None:
    page = opened()
    _choose(page, "key", "11_B-flat")
    page.reload()
    assert _source(page) == "short-way_B-flat_120.mp3"
    page.goto(f"{overview.as_uri()}#key=c&tempo=90")
    page.reload()
    assert _source(page) == "short-way_C_090.mp3"
    page.goto(f"{overview.as_uri()}#key=H&tempo=x&mix=without-everything")
    page.reload()
    assert _source(page) == "short-way_B-flat_120.mp3"


def test_where_nothing_is_kept_it_can_be_chosen_too(browser: Any, overview: Path) -> None:
    context = browser.new_context()
    context.add_init_script(
        "Object.defineProperty(window, 'localStorage', { get() { throw new Error('refused'); } })"
    )
    page = context.new_page()
    page.goto(overview.as_uri())
    _choose(page, "key", "11_B-flat")
    assert _source(page) == "short-way_B-flat_120.mp3"
    context.close()


def test_without_its_program_every_file_is_reached_and_the_browser_plays(
    browser: Any, overview: Path
) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(overview.as_uri())
    assert page.is_visible("audio[controls]")
    assert page.is_hidden("#choice")
    assert page.is_visible("noscript p")
    page.click("#all > summary")
    for key in ("#key-01_C", "#key-11_B-flat"):
        page.click(f"{key} > summary")
        assert page.locator(f"{key} a:visible").count() == 2 * 4 + 2 * 9
    context.close()


# Parts of a pack


@pytest.fixture
def part(overview: Path, tmp_path: Path) -> Path:
    """The overview of a pack that was posted without its tracks, its charts and a sheet."""
    folder = tmp_path / "part"
    gone = shutil.ignore_patterns("*.mp3", "*.svg", "*C_sheet.pdf")
    shutil.copytree(overview.parent, folder, ignore=gone)
    return folder / INDEX


MISSING = "The file {} is missing from this pack; ask your teacher to post it too."


def test_a_track_or_chart_that_is_missing_is_told_in_a_sentence(opened: Any, part: Path) -> None:
    page = opened(path=part)
    page.wait_for_selector("#trouble:visible")
    assert page.inner_text("#trouble") == MISSING.format("short-way_C_chart.svg")
    assert page.is_hidden("#picture")
    page.click("#start")
    page.wait_for_function("() => trouble.textContent.includes('mp3')")
    assert page.inner_text("#trouble") == MISSING.format("short-way_C_120.mp3")
    assert page.inner_text("#start") == "Play"


def test_on_a_site_a_link_to_a_missing_file_says_so_and_the_others_lead_there(
    opened: Any, part: Path
) -> None:
    with served(part.parent) as site:
        page = opened()
        page.goto(site)
        page.click("#taken a[href$='sheet.pdf']")
        page.wait_for_function("() => trouble.textContent.includes('sheet')")
        assert page.inner_text("#trouble") == MISSING.format("short-way_C_sheet.pdf")
        with page.expect_download() as download:
            page.click("#taken a[href$='.mid']")
        assert download.value.suggested_filename == "short-way_C_120.mid"
        assert page.is_hidden("#trouble")


def test_it_asks_no_other_site(opened: Any) -> None:
    page = opened()
    refused = page.evaluate(
        """() => new Promise((done) => {
          const refused = new Set();
          document.addEventListener("securitypolicyviolation", ({ effectiveDirective }) => {
            if (refused.add(effectiveDirective).size === 3) done([...refused].sort());
          });
          const other = "http://127.0.0.1:9/";
          fetch(other).catch(() => {});
          new Image().src = other;
          new Audio(other).load();
        })"""
    )
    assert refused == ["connect-src", "img-src", "media-src"]


def test_print_has_the_plan_and_the_chart_and_nothing_to_press(opened: Any) -> None:
    page = opened(viewport={"width": 360, "height": 740})
    assert page.is_hidden("#plan-steps")
    page.evaluate("window.print = () => dispatchEvent(new Event('beforeprint'))")
    page.click("#print")
    page.emulate_media(media="print")
    for shown in ("h1", "#plan-session", "#plan-steps", "#picture img"):
        assert page.is_visible(shown), shown
    for left_out in (".first", "#play", "#take", "#all", "#print"):
        assert page.is_hidden(left_out), left_out
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    page.emulate_media(media="screen")
    assert page.is_hidden("#plan-steps")


# On a site


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """The address of a folder on a web server of this machine."""
    handler = partial(Quiet, directory=str(folder))
    with ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}/"
        server.shutdown()


@pytest.fixture
def site(overview: Path) -> Iterator[str]:
    """The address of the pack on a site."""
    with served(overview.parent) as address:
        yield address


class Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_: Any) -> None:
        pass


def test_the_zip_is_offered_on_a_site_and_not_on_a_disk(
    opened: Any, site: str, overview: Path
) -> None:
    page = opened()
    page.click("#all > summary")
    assert not page.is_visible("#zip")
    page.goto(site)
    page.click("#all > summary")
    with page.expect_download() as download:
        page.click("#zip a")
    (packed,) = overview.parent.glob("*.zip")
    assert Path(download.value.path()).read_bytes() == packed.read_bytes()


def test_on_a_site_a_track_plays_and_the_practice_page_opens(opened: Any, site: str) -> None:
    page = opened()
    page.goto(site)
    page.click("#start")
    _sounds(page)
    page.click("text=Open the practice page")
    page.wait_for_function("() => globalThis.practice?.ready")
    assert page.seen.complaints == []


def test_a_word_that_is_longer_than_the_screen_is_broken(opened: Any) -> None:
    page = opened(viewport={"width": 320, "height": 640})
    page.evaluate("() => { document.querySelector('h1').textContent = 'W'.repeat(60); }")
    assert page.evaluate("document.documentElement.scrollWidth") == 320


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_it_fits_and_everything_to_press_is_big_enough(
    opened: Any, width: int, height: int
) -> None:
    page = opened(viewport={"width": width, "height": height})
    page.evaluate("for (const more of document.querySelectorAll('details')) more.open = true")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    low = page.evaluate(
        """[...document.querySelectorAll("a, summary, button, select, label, input[type=range]")]
        .filter((each) => each.checkVisibility() && !each.closest("footer > p"))
        .filter((each) => each.getBoundingClientRect().height < 44)
        .map((each) => each.outerHTML)"""
    )
    assert low == []


def test_everything_is_reached_by_the_tab_key_in_the_order_of_the_page(opened: Any) -> None:
    page = opened()
    count = page.evaluate(
        """() => {
          const all = [...document.querySelectorAll("a, summary, button, select, input")];
          const isOther = (each) => each.type === "radio" && !each.checked;
          const seen = all.filter((each) => each.checkVisibility() && !isOther(each));
          seen.forEach((each, number) => (each.dataset.number = number));
          return seen.length;
        }"""
    )
    reached = []
    for _ in range(count):
        page.keyboard.press("Tab")
        reached.append(int(page.evaluate("document.activeElement.dataset.number")))
    assert reached == list(range(count))


def test_the_arrow_keys_choose_a_key_and_the_space_bar_plays(opened: Any) -> None:
    page = opened()
    page.focus("[name=key]:checked")
    page.keyboard.press("ArrowRight")
    assert _source(page) == "short-way_B-flat_120.mp3"
    page.focus("#start")
    page.keyboard.press("Space")
    _sounds(page)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_an_accessibility_checker_finds_nothing(opened: Any, axe: str, scheme: str) -> None:
    page = opened(color_scheme=scheme)
    page.evaluate("for (const more of document.querySelectorAll('details')) more.open = true")
    page.evaluate(axe)
    found = page.evaluate("axe.run().then((r) => r.violations.map((v) => [v.id, v.nodes[0].html]))")
    assert found == []
