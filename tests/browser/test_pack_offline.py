"""A pack on a web server: installed from there, and open without a network afterwards."""

from __future__ import annotations

import json
import os
import shutil
import time
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import Any

import pytest

from groove.handout.pack.folder import INDEX
from tests.browser.practice_material import HEAR, wait_for_beats
from tests.handout.pack.pack_material import SMALL, pack_into
from tests.once import made_once

FOLDER = "lessons/short way"
WORKER = "offline.js"
PAGE = "short-way_practice.html"
SILENT = SMALL | {"audio": None}
KEPT = "caches.keys()"
OVERVIEW = f"fetch('{INDEX}').then((answer) => answer.text())"
READY = "navigator.serviceWorker.ready.then(({ active }) => active.state)"


class Site:
    """A web server of this machine with a pack in a folder of its own, and its requests.

    The pack is an hour old, so that a browser that asks its own cache may take it for fresh.
    """

    def __init__(self, root: Path, packed: Path) -> None:
        self.asked: list[str] = []
        self.folder = root / FOLDER
        post(packed, self.folder)
        for path in self.folder.rglob("*"):
            os.utime(path, (time.time() - 3600,) * 2)
        handler = partial(Noting, asked=self.asked, directory=str(root))
        self._server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
        Thread(target=self._server.serve_forever, daemon=True).start()
        port = self._server.server_address[1]
        self.address = f"http://127.0.0.1:{port}/{FOLDER.replace(' ', '%20')}/"

    def stop(self) -> None:
        """Take it off the network."""
        self._server.shutdown()
        self._server.server_close()


class Noting(SimpleHTTPRequestHandler):
    def __init__(self, *given: Any, asked: list[str], **options: Any) -> None:
        self.asked = asked
        super().__init__(*given, **options)

    def log_request(self, *_: Any) -> None:
        self.asked.append(self.path)

    def log_error(self, *_: Any) -> None:
        pass


def post(packed: Path, folder: Path) -> None:
    """Put a pack on a site, files of today; last the one by which a browser sees that it is new."""
    shutil.copytree(packed, folder, copy_function=shutil.copyfile, dirs_exist_ok=True,
                    ignore=shutil.ignore_patterns(WORKER))  # fmt: skip
    shutil.copyfile(packed / WORKER, folder / WORKER)


def wait_until(page: Any, question: str, given: Any = None) -> None:
    """Waits until what a question promises is true. `wait_for_function` would go on at once, for it
    takes the promise itself as the answer."""
    for _ in range(1500):
        if page.evaluate(question, given):
            return
        page.wait_for_timeout(20)
    raise AssertionError(f"It never became true: {question}")


def _name(address: str) -> str:
    return address.rpartition("/")[2]


@pytest.fixture(scope="session")
def silent_pack(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a pack without sound."""
    return made_once(tmp_path_factory, "silent", partial(pack_into, **SILENT))


@pytest.fixture
def site(tmp_path: Path, silent_pack: Path) -> Iterator[Site]:
    made = Site(tmp_path, silent_pack)
    yield made
    made.stop()


@pytest.fixture
def visited(browser: Any, site: Site) -> Iterator[Any]:
    """The overview, opened from the site and kept on the device."""
    context = browser.new_context(service_workers="allow")
    page = context.new_page()
    page.complaints = []
    page.on("console", lambda message: page.complaints.append(_name(message.location["url"])))
    page.on("pageerror", lambda error: page.complaints.append(str(error)))
    page.goto(site.address)
    wait_until(page, f"async () => await {READY} === 'activated'")
    yield page
    context.close()


def test_overview_and_practice_page_open_and_play_without_the_network(
    visited: Any, site: Site
) -> None:
    title = visited.title()
    site.stop()
    for address in (site.address, f"{site.address}{INDEX}?from=home"):
        visited.goto(address)
        assert visited.title() == title
    visited.locator(f"a[href*='{PAGE}']").first.click()
    visited.wait_for_function("() => globalThis.practice?.ready")
    visited.evaluate(HEAR)
    visited.click("#play")
    wait_for_beats(visited, 4)
    # The browser itself looks for a newer worker when a page opens, and says that it finds none.
    assert set(visited.complaints) <= {WORKER}


def test_nothing_outside_the_folder_of_the_pack_is_asked_for(visited: Any, site: Site) -> None:
    visited.goto(f"{site.address}{PAGE}#tempo=200")
    visited.wait_for_function("() => globalThis.practice?.ready")
    visited.click("#play")
    visited.wait_for_selector(".bar[aria-current]")
    place = f"/{FOLDER.replace(' ', '%20')}/"
    assert {path.removeprefix(place) for path in site.asked} == {
        "", INDEX, PAGE, "01_C/short-way_C_chart.svg", "app.webmanifest", WORKER, "icon.png",
    }  # fmt: skip
    assert visited.complaints == []


def test_the_browser_finds_nothing_that_keeps_it_from_being_installed(visited: Any) -> None:
    tools = visited.context.new_cdp_session(visited)
    manifest = tools.send("Page.getAppManifest")
    assert manifest["errors"] == []
    assert json.loads(manifest["data"])["name"] == "Short Way"
    errors = tools.send("Page.getInstallabilityErrors")["installabilityErrors"]
    assert [error["errorId"] for error in errors if error["errorId"] != "in-incognito"] == []


def test_another_version_takes_the_place_of_the_one_before(
    visited: Any, site: Site, silent_pack: Path, tmp_path: Path
) -> None:
    (before,) = visited.evaluate(KEPT)
    assert visited.evaluate(OVERVIEW) == (site.folder / INDEX).read_text("utf-8")
    other = tmp_path / "other"
    shutil.copytree(silent_pack, other)
    pack_into(other, **SILENT | {"tempos": [90]})
    post(other, site.folder)
    visited.evaluate("navigator.serviceWorker.getRegistration().then((one) => one.update())")
    wait_until(
        visited,
        "async (before) => { const all = await caches.keys(); "
        "return all.length === 1 && all[0] !== before; }",
        before,
    )
    visited.goto(site.address)
    assert visited.evaluate(OVERVIEW) == (site.folder / INDEX).read_text("utf-8")


UPDATED = """async () => {
  const registration = await navigator.serviceWorker.getRegistration();
  await registration.update();
  const coming = registration.installing;
  if (coming) await new Promise((done) => coming.addEventListener("statechange", done));
  return caches.keys();
}"""
"""The caches once the browser has tried to take the version that is there."""


def test_while_files_of_two_versions_are_mixed_the_one_before_stays(
    visited: Any, site: Site, silent_pack: Path, tmp_path: Path
) -> None:
    kept = visited.evaluate(KEPT)
    other = tmp_path / "other"
    shutil.copytree(silent_pack, other)
    pack_into(other, **SILENT | {"tempos": [90]})
    shutil.copyfile(other / WORKER, site.folder / WORKER)
    assert visited.evaluate(UPDATED) == kept
    visited.goto(site.address)
    assert visited.evaluate(OVERVIEW) == (silent_pack / INDEX).read_text("utf-8")


def test_a_pack_beside_it_keeps_its_own(visited: Any, site: Site, silent_pack: Path) -> None:
    post(silent_pack, site.folder.parent / "other")
    visited.goto(site.address.replace("short%20way", "other"))
    wait_until(visited, "async () => (await caches.keys()).length === 2")


def test_from_a_file_nothing_of_it_is_used(opened: Any, site: Site) -> None:
    path = site.folder / PAGE
    page = opened(path=path)
    assert page.locator("link[rel=manifest]").count() == 0
    outside = [address for address in page.seen.requests if not address.startswith("blob:null/")]
    assert outside == [path.as_uri()]
    assert page.seen.complaints == []
