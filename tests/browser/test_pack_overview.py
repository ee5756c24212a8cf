"""The overview of a pack in a real browser: it plays, asks for nothing by itself, fits anywhere."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import Any

import pytest

from groove.handout.pack.folder import INDEX
from tests.browser.practice_material import Seen
from tests.handout.pack.pack_material import pack_into

SIZES = [(320, 640), (768, 1024), (1440, 900)]


@pytest.fixture(scope="module")
def overview(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pack") / "site"
    pack_into(folder, tempos=90, stems=False)
    return folder / INDEX


@pytest.fixture
def opened(browser: Any, overview: Path) -> Iterator[Any]:
    """Opens the overview: opened(**context options) -> page."""
    contexts = []

    def opener(**options: Any) -> Any:
        contexts.append(browser.new_context(**options))
        page = contexts[-1].new_page()
        page.seen = Seen()
        page.on("request", lambda request: page.seen.requests.append(request.url))
        page.on("console", lambda message: page.seen.complaints.append(message.text))
        page.on("pageerror", lambda error: page.seen.complaints.append(str(error)))
        page.goto(overview.as_uri())
        return page

    yield opener
    for context in contexts:
        context.close()


PLAY_TWO = """async () => {
  const [one, two] = document.querySelectorAll("audio");
  await one.play();
  await two.play();
  await new Promise((settled) => setTimeout(settled, 50));
  return [one.paused, two.paused, one.duration];
}"""


def test_it_asks_for_a_track_when_that_is_played_and_for_nothing_else(
    opened: Any, overview: Path
) -> None:
    page = opened()
    assert page.seen.requests == [overview.as_uri()]
    paused, other_paused, seconds = page.evaluate(PLAY_TWO)
    assert (paused, other_paused) == (True, False)
    # A bar of count-in, two bars and the end, at 90; and a crash that rings on for 5 s.
    assert 6 < seconds < 17
    assert {Path(url).suffix for url in page.seen.requests[1:]} == {".mp3"}
    assert page.seen.complaints == []


def test_its_policy_forbids_everything_else(opened: Any) -> None:
    assert opened().evaluate("fetch('manifest.json').then(() => false, () => true)")


@pytest.fixture
def site(overview: Path) -> Iterator[str]:
    """The address of the pack on a web server of this machine."""
    handler = partial(Quiet, directory=str(overview.parent))
    with ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}/"
        server.shutdown()


class Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_: Any) -> None:
        pass


def test_the_zip_is_offered_on_a_site_and_not_on_a_disk(
    opened: Any, site: str, overview: Path
) -> None:
    page = opened()
    assert not page.is_visible("#all")
    page.goto(site)
    with page.expect_download() as download:
        page.click("#all a")
    (packed,) = overview.parent.glob("*.zip")
    assert Path(download.value.path()).read_bytes() == packed.read_bytes()


def test_on_a_site_a_track_plays_and_the_practice_page_opens(opened: Any, site: str) -> None:
    page = opened()
    page.goto(site)
    assert page.evaluate(PLAY_TWO)[:2] == [True, False]
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
        """[...document.querySelectorAll("main a, nav a, summary, audio")]
        .filter((each) => each.getBoundingClientRect().height < 44)
        .map((each) => each.outerHTML)"""
    )
    assert low == []


def test_every_link_and_player_is_reached_by_the_tab_key_in_the_order_of_the_page(
    opened: Any,
) -> None:
    page = opened()
    count = page.evaluate(
        """() => {
          const all = [...document.querySelectorAll("a, summary, audio")];
          const seen = all.filter((each) => each.checkVisibility());
          seen.forEach((each, number) => (each.dataset.number = number));
          return seen.length;
        }"""
    )
    reached = []
    for _ in range(6 * count):  # a player has several stops of its own
        page.keyboard.press("Tab")
        here = page.evaluate("document.activeElement.dataset.number")
        if here is None:
            break
        reached.append(int(here))
    assert list(dict.fromkeys(reached)) == list(range(count))


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_an_accessibility_checker_finds_nothing(opened: Any, axe: str, scheme: str) -> None:
    page = opened(color_scheme=scheme)
    page.evaluate("for (const more of document.querySelectorAll('details')) more.open = true")
    page.evaluate(axe)
    found = page.evaluate("axe.run().then((r) => r.violations.map((v) => [v.id, v.nodes[0].html]))")
    assert found == []
