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
from tests.browser.practice_material import ASKING, CROWDED, FORM, VOICES, Seen
from tests.form.road_material import arranged
from tests.handout.practice.page_material import ARRANGEMENT
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
    return made_once(tmp_path_factory, "crowded.html", partial(make_page, form))


@pytest.fixture(scope="session")
def asking_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The practice page of a fast vamp with a tuning note, two bars of count-in and an organ."""
    form = read_form("one-chord-vamp", **ASKING)
    return made_once(tmp_path_factory, "asking.html", partial(make_page, form))


@pytest.fixture(scope="session")
def pedal_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The practice page of a vamp with a piano that is played with the pedal."""
    form = read_form("one-chord-vamp", comping="piano-ballad-eighths", seed=2)
    return made_once(tmp_path_factory, "pedal.html", partial(make_page, form))


@pytest.fixture(scope="session")
def road_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The practice page of an arrangement."""
    form = arranged(**ARRANGEMENT)
    return made_once(tmp_path_factory, "road.html", partial(make_page, form))


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


@pytest.fixture
def opened(browser: Any, practice_page: Path) -> Iterator[Any]:
    """Opens a page, ready to play: opened(fragment, path, before, **context options) -> page.

    path: another page than that of the twelve-bar form. before: a script that runs first.

    Its requests and its error messages are in `page.seen`.
    """
    contexts = []

    def opener(
        fragment: str = "", path: Path = practice_page, before: str = "", **options: Any
    ) -> Any:
        context = browser.new_context(accept_downloads=True, **options)
        contexts.append(context)
        page = context.new_page()
        page.add_init_script(before)
        page.seen = Seen()
        page.on("request", lambda request: page.seen.requests.append(request.url))
        page.on("console", lambda message: page.seen.complaints.append(message.text))
        page.on("pageerror", lambda error: page.seen.complaints.append(str(error)))
        page.goto(f"{path.as_uri()}{fragment}")
        page.wait_for_function("() => globalThis.practice?.ready")
        return page

    yield opener
    for context in contexts:
        context.close()


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
    page.goto(practice_page.as_uri())
    page.wait_for_function("() => globalThis.practice?.ready")
    yield page
    context.close()


@pytest.fixture(scope="session")
def axe() -> str:
    """The source of axe-core, an accessibility checker, as the test dependency carries it."""
    package = find_spec("axe_playwright_python")
    if package is None or package.origin is None:
        pytest.skip("axe-playwright-python, which carries axe-core, is not installed")
    return Path(package.origin).with_name("axe.min.js").read_text("utf-8")
