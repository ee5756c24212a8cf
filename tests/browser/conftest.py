"""A practice page in a real browser: Debian's Chromium without a screen, one for all tests."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

from groove.form.read import read_form
from groove.handout.practice.make import make_page
from tests.browser.firefox_material import FIREFOX, PREFERENCES, Firefox
from tests.browser.practice_material import ASKING, CROWDED, FORM, VOICES, Seen, go_to
from tests.form.road_material import arranged
from tests.handout.practice.page_material import ARRANGEMENT, page_of_one_key
from tests.once import made_once

CHROMIUM = Path("/usr/bin/chromium")
ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--autoplay-policy=user-gesture-required",
)


@pytest.fixture(scope="session")
def practice_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The practice page of a twelve-bar form in A."""
    form = read_form("twelve-bar", **FORM)
    return made_once(tmp_path_factory, "ferry.html", partial(make_page, form))


@pytest.fixture(scope="session")
def crowded_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The practice page of a short waltz with sections, long chords, and rounds that change."""
    form = read_form("one-chord-vamp", **CROWDED)
    return made_once(tmp_path_factory, "crowded.html", partial(page_of_one_key, form))


@pytest.fixture(scope="session")
def asking_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The practice page of a fast vamp with a tuning note, two bars of count-in and an organ."""
    form = read_form("one-chord-vamp", **ASKING)
    return made_once(tmp_path_factory, "asking.html", partial(page_of_one_key, form))


@pytest.fixture(scope="session")
def pedal_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The practice page of a vamp with a piano that is played with the pedal."""
    form = read_form("one-chord-vamp", comping="piano-ballad-eighths", seed=2)
    return made_once(tmp_path_factory, "pedal.html", partial(page_of_one_key, form))


@pytest.fixture(scope="session")
def road_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The practice page of an arrangement."""
    form = arranged(**ARRANGEMENT)
    return made_once(tmp_path_factory, "road.html", partial(page_of_one_key, form))


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    if not CHROMIUM.exists():
        pytest.skip("Debian's chromium is not installed, so nothing was tried in a browser")
    try:
        playwright = sync_api.sync_playwright().start()
    except Exception as error:  # its driver is a program of its own, and gives no other error
        pytest.skip(f"playwright can't run here: {error}")
    running = playwright.chromium.launch(
        executable_path=str(CHROMIUM), headless=True, args=list(ARGUMENTS)
    )
    yield running
    running.close()
    playwright.stop()


USUAL_SCREEN = {"width": 1280, "height": 720}
USUAL_MEDIA = {"color_scheme": "light", "reduced_motion": "no-preference", "forced_colors": "none"}

LEAVE = """() => {
  localStorage.clear();
  Storage.prototype.setItem = () => {}; // what the page would still keep
}"""

REST = """() => {
  if (practice.stage.playing) document.getElementById("play").click();
  if (practice.stage.paused) document.getElementById("pause").click();
  practice.heard = null;
  delete globalThis.notes;
  document.activeElement?.blur();
  return practice.stage.context.suspend();
}"""


def _adapted(page: Any, viewport: dict[str, int] = USUAL_SCREEN, **media: str) -> Any:
    """A page on another screen: its size, and what the student wishes of it."""
    page.set_viewport_size(viewport)
    page.emulate_media(media="null", **(USUAL_MEDIA | media))
    page.mouse.move(0, 0)
    return page


class Tabs:
    """Tabs that one test hands on to the next; a tab in which a test failed is closed."""

    def __init__(self, browser: Any) -> None:
        self._browser = browser
        self._free: dict[str, list[Any]] = {}

    def take(self, name: str) -> Any:
        """A free tab of a name, or a new one. Its requests and error messages are in `seen`."""
        free = self._free.setdefault(name, [])
        page = free.pop() if free else self.new()
        page.seen.requests.clear()
        page.seen.complaints.clear()
        return page

    def new(self, before: str = "", **options: Any) -> Any:
        """A tab in a context of its own."""
        page = self._browser.new_context(accept_downloads=True, **options).new_page()
        page.add_init_script(before)
        page.seen = Seen()
        page.on("request", lambda request: page.seen.requests.append(request.url))
        page.on("console", lambda message: page.seen.complaints.append(message.text))
        page.on("pageerror", lambda error: page.seen.complaints.append(str(error)))
        return page

    def give_back(self, name: str, page: Any) -> None:
        """Keeps a tab for the next test that takes one of that name."""
        for other in page.context.pages:
            if other != page:
                other.close()
        self._free[name].append(page)


def _loaded(page: Any, path: Path, fragment: str = "") -> Any:
    page.goto(f"{path.as_uri()}{fragment}")
    page.wait_for_function("() => globalThis.practice?.ready")
    return page


@pytest.fixture(scope="session")
def tabs(browser: Any) -> Tabs:
    """The tabs that tests of pages without a script of their own hand on."""
    return Tabs(browser)


@pytest.fixture
def opened(tabs: Tabs, practice_page: Path, request: pytest.FixtureRequest) -> Iterator[Any]:
    """Opens a page, ready to play: opened(fragment, path, before, **options) -> page.

    path: another page than that of the twelve-bar form. before: a script that runs first. options:
    the screen, as of a context. Its requests and its error messages are in `page.seen`.

    The page is loaded anew, and finds nothing kept. Tests that only look at what a link shows take
    `shown`, which is many times as quick.
    """
    lent, own = [], []
    failed = request.session.testsfailed

    def opener(
        fragment: str = "", path: Path = practice_page, before: str = "", **options: Any
    ) -> Any:
        if before or options.keys() - {"viewport", *USUAL_MEDIA}:
            own.append(tabs.new(before, **options))
            return _loaded(own[-1], path, fragment)
        lent.append(_adapted(tabs.take("opened"), **options))
        return _loaded(lent[-1], path, fragment)

    yield opener
    for page in lent:
        if request.session.testsfailed > failed:
            own.append(page)
            continue
        page.evaluate(LEAVE)
        page.goto("about:blank")
        tabs.give_back("opened", page)
    for page in own:
        page.context.close()


@pytest.fixture
def shown(tabs: Tabs, practice_page: Path, request: pytest.FixtureRequest) -> Iterator[Any]:
    """Shows what a link sets, in a page that is open already: shown(fragment, path, **options).

    As `opened`, for tests that fold no panel and leave no dialog open. The next test finds the page
    silent, on the usual screen, and with nothing kept.
    """
    lent = []
    failed = request.session.testsfailed

    def shower(fragment: str = "", path: Path = practice_page, **options: Any) -> Any:
        page = tabs.take(path.name)
        lent.append((path.name, page))
        if page.url == "about:blank":
            _loaded(page, path)
        _adapted(page, **options)
        page.evaluate("scrollTo(0, 0)")
        return go_to(page, fragment)

    yield shower
    for name, page in lent:
        if request.session.testsfailed > failed:
            page.context.close()
        else:
            page.evaluate(REST)
            tabs.give_back(name, _adapted(page))


@pytest.fixture(scope="session")
def firefox(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firefox]:
    """Debian's Firefox without a screen, with an audio device and a microphone of its own."""
    if not FIREFOX.exists():
        pytest.skip("Debian's firefox-esr is not installed, so nothing was tried in it")
    running = Firefox(tmp_path_factory.mktemp("firefox"))
    yield running
    running.close()


@pytest.fixture
def in_firefox(firefox: Firefox, practice_page: Path) -> Iterator[Callable[..., Firefox]]:
    """Opens a page in Firefox, ready to play: in_firefox(fragment, path, **preferences) -> firefox.

    path: another page than that of the twelve-bar form. preferences: of the browser, with ``__``
    for the dots, until the test is over. Requests and complaints are those since then.
    """
    changed = []

    def opener(
        fragment: str = "", path: Path = practice_page, **preferences: bool | int
    ) -> Firefox:
        for name, value in preferences.items():
            changed.append(name.replace("__", "."))
            firefox.prefer(changed[-1], value)
        firefox.goto("about:blank")
        firefox.forget()
        firefox.goto(f"{path.as_uri()}{fragment}")
        firefox.wait_for("globalThis.practice?.ready")
        return firefox

    yield opener
    for name in changed:
        firefox.prefer(name, PREFERENCES.get(name))  # type: ignore[arg-type]
    firefox.goto("about:blank")


@pytest.fixture(scope="session")
def shared(browser: Any, practice_page: Path) -> Iterator[Any]:
    """The page of the twelve-bar form, one for all tests that keep nothing in it and leave nothing
    open: see `go_to`. A voice speaks two languages in it."""
    context = browser.new_context()
    page = context.new_page()
    page.add_init_script(VOICES)
    _loaded(page, practice_page)
    page.evaluate("practice.stage.context.suspend()")  # it would play silence to the end
    yield page
    context.close()


@pytest.fixture(scope="session")
def axe() -> str:
    """The source of axe-core, an accessibility checker, as the test dependency carries it."""
    package = find_spec("axe_playwright_python")
    if package is None or package.origin is None:
        pytest.skip("axe-playwright-python, which carries axe-core, is not installed")
    return Path(package.origin).with_name("axe.min.js").read_text("utf-8")
