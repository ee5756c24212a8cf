"""The previews of the screen: pages as they are printed, the practice page, hostile requests."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from groove import library
from groove.errors import GrooveError
from groove.form.model import Form
from groove.form.read import read_form
from groove.handout.chart.files import chart, write_chart_files
from groove.handout.drawing.page import PAPERS
from groove.handout.sheet.files import write_sheet_files
from groove.handout.sheet.sheet import write_sheet
from groove.screen.open_form import OpenForm
from groove.screen.preview.choice import AUDIENCES, KINDS, Choice
from groove.screen.preview.handouts import MOST_KEPT, Handouts
from groove.screen.preview.practice import STEPS, PracticePages
from groove.screen.serve import serve
from tests.screen.test_guard import JSON, Client

TEXT = 'title = "Ferry"\nkey = "G"\nchords = "| I7 | IV7 |"\nlearner = "beginner"\n'
FORM = read_form("one-chord-vamp", title="Ferry", learner="beginner")
HEAD = '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'">'
PAGE = f"<!doctype html>{HEAD}<h1>Ferry</h1>"


def test_pages_are_those_of_the_files_that_the_commands_write(tmp_path: Path) -> None:
    handouts = Handouts()
    sheet = write_sheet(FORM, AUDIENCES["Bb"])
    svgs = write_sheet_files(sheet, [tmp_path / "sheet.svg"], paper="letter")
    shown = handouts.laid_out(FORM, Choice("sheet", "Bb", "letter"))
    assert [shown.svg(n) for n in range(1, len(shown.pages) + 1)] == [p.read_bytes() for p in svgs]
    (written,) = write_chart_files(chart(FORM, "Eb"), [tmp_path / "chart.pdf"])
    shown = handouts.laid_out(FORM, Choice("chart", "Eb"))
    assert shown.pdf() == written.read_bytes()
    assert (shown.stem, shown.told()["paper"]) == ("ferry-chart-eb", [210.0, 297.0])
    assert shown.told()["pages"][0]["words"].startswith("Ferry\n")


def test_a_sheet_is_for_the_instrument_of_its_lesson_unless_another_is_asked_for() -> None:
    form = read_form("one-chord-vamp", plays="keyboard", learner="beginner")
    words = [
        Handouts().laid_out(form, Choice("sheet", whom)).told()["pages"][0]["words"]
        for whom in ("lesson", "keyboard", "guitar")
    ]
    assert words[0] == words[1] != words[2]


def test_parts_that_the_sheet_has_nothing_of_are_named_by_their_headings() -> None:
    form = read_form("one-chord-vamp", blocks=["chart", "voicings", "grips"])
    for whom, heading in (("guitar", "Voicings"), ("keyboard", "Grips"), ("Bb", "Grips")):
        assert heading in Handouts().laid_out(form, Choice("sheet", whom)).told()["leftOut"]
    assert Handouts().laid_out(form, Choice("chart")).told()["leftOut"] == []


def test_pages_of_the_newest_form_alone_are_kept() -> None:
    handouts, choice = Handouts(), Choice("chart")
    first = handouts.laid_out(FORM, choice)
    assert handouts.laid_out(FORM, choice) is first
    for whom in list(AUDIENCES)[: MOST_KEPT - 1]:
        handouts.laid_out(FORM, replace(choice, audience=whom, paper="letter"))
    assert handouts.numbered(first.number) is first
    handouts.laid_out(FORM, Choice("chart", "bass-clef"))
    assert handouts.numbered(first.number) is None  # the one that was used longest ago
    kept = handouts.laid_out(FORM, choice)
    other = handouts.laid_out(replace(FORM, title="Harbour"), choice)
    assert handouts.numbered(kept.number) is None
    assert handouts.numbered(other.number) is other


def test_there_is_no_page_before_the_first_or_after_the_last() -> None:
    shown = Handouts().laid_out(FORM, Choice("chart"))
    assert [bool(shown.svg(page)) for page in (-1, 0, 1, 2, 10**30)] == [0, 0, 1, 0, 0]


def test_every_choice_has_its_words_and_no_other_is_there() -> None:
    words = library.load("lesson", "screen-preview")
    assert list(words["audiences"]) == list(AUDIENCES)
    assert set(words["printed"]["kinds"]) == set(KINDS)
    assert set(words["printed"]["papers"]) == set(PAPERS)
    assert set(words["page"]["making"]) == set(STEPS)


@pytest.mark.parametrize(
    "asked", [{"kind": "../state"}, {"for": "<b>"}, {"paper": "a3"}, {"for": "x" * 3_000}]
)
def test_other_choices_are_refused_in_a_short_line(asked: dict[str, str]) -> None:
    with pytest.raises(GrooveError) as refused:
        Choice.read(asked)
    assert len(str(refused.value)) < 300
    assert "\n" not in str(refused.value)


class Press:
    """Stands for what makes the practice page: it goes on when it is let."""

    def __init__(self) -> None:
        self.made: list[Form] = []
        self.begun, self.go_on = threading.Event(), threading.Event()
        self.go_on.set()

    def page_text(self, form: Form, *, progress: object, **_options: object) -> str:
        assert callable(progress)
        self.made.append(form)
        progress(0.4)
        self.begun.set()
        assert self.go_on.wait(10)
        progress(0.65)
        progress(1.0)
        return PAGE


@pytest.fixture
def press(monkeypatch: pytest.MonkeyPatch) -> Press:
    press = Press()
    monkeypatch.setattr("groove.handout.practice.make.page_text", press.page_text)
    return press


def test_a_practice_page_is_made_once_for_a_form_and_tells_its_steps(press: Press) -> None:
    pages, told = PracticePages(), []
    first = pages.page(FORM, "guitar", lambda *step: told.append(step))
    assert pages.page(replace(FORM), "guitar", lambda *_: None) is first
    assert told == [("notes", 0.0), ("sounds", 0.4), ("mix", 0.65), ("mix", 1.0)]
    other = pages.page(FORM, "bass", lambda *_: None)
    assert (other.number, len(press.made), pages.newest) == (first.number + 1, 2, other)
    assert first.file_name == "ferry.html"


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    path = tmp_path_factory.mktemp("lessons") / "ferry.toml"
    path.write_text(TEXT)
    (path.with_name("empty.toml")).write_text('key = "C"\n')
    ready = threading.Event()
    found: list[str] = []

    def told(address: str) -> None:
        found.append(address)
        ready.set()

    threading.Thread(target=serve, args=(OpenForm.at(path, ""), 0, told), daemon=True).start()
    assert ready.wait(20)
    return Client(found[0])


def test_pages_are_served_with_the_policy_of_all(client: Client) -> None:
    status, _, body = client.ask(f"{client.base}preview/pages?kind=chart&for=F")
    found = json.loads(body)
    assert (status, len(found["pages"])) == (200, 1)
    status, headers, body = client.ask(f"{client.base}preview/pages/{found['number']}/1")
    assert (status, headers["content-type"], body[:4]) == (200, "image/svg+xml", b"<svg")
    assert headers["content-security-policy"].startswith("default-src 'none'; ")
    status, headers, body = client.ask(f"{client.base}preview/pdf?kind=chart&for=F&paper=letter")
    assert (status, body[:5]) == (200, b"%PDF-")
    assert headers["content-disposition"] == "attachment; filename*=UTF-8''ferry-chart-f.pdf"


@pytest.mark.parametrize(
    "path",
    ["0/1", "1/0", "1/99", "1/-1", "1/1e9", f"1/{'9' * 300}", f"{'9' * 300}/1", "1/1%00", "1/",
     "../state/1", "..%2f..%2fstate", "1/1/../../../state"],
)  # fmt: skip
def test_hostile_page_numbers_lead_nowhere(client: Client, path: str) -> None:
    client.ask(f"{client.base}preview/pages?kind=chart")
    assert client.status(f"{client.base}preview/pages/{path}") == 404


def test_hostile_choices_are_refused(client: Client) -> None:
    for path in ("pages?kind=..%2F..", "pages?paper=%00", "pdf?for=root", "pages?for=%FF"):
        status, _, body = client.ask(f"{client.base}preview/{path}")
        assert status == 422
        assert "\n" not in json.loads(body)["trouble"]


def test_a_form_without_chords_has_no_pages_yet(client: Client, press: Press) -> None:
    empty = client.base.replace("ferry", "empty")
    status, _, body = client.ask(f"{empty}preview/pages")
    assert (status, json.loads(body)["trouble"]) == (422, "there is nothing to show yet")
    assert client.status(f"{empty}preview/practice", "POST", b'{"for":"bass"}', **KIND) == 422
    assert client.status(f"{empty}preview/practice/page") == 404
    assert client.status(f"{empty}preview/practice/file") == 404
    assert press.made == []


KIND = {"Content_Type": "application/json"}


@pytest.mark.parametrize(
    "body", [b"", b"[]", b"null", b"{}", b'{"for":null}', b'{"for":["guitar"]}', b'{"for":"root"}']
)
def test_odd_wishes_for_a_practice_page_are_refused(
    client: Client, press: Press, body: bytes
) -> None:
    status, _, answer = client.ask(f"{client.base}preview/practice", "POST", body, JSON)
    assert (status, press.made) == (422, [])
    assert "\n" not in json.loads(answer)["trouble"]


def test_edits_do_not_wait_for_the_practice_page_and_it_is_cut_off(
    client: Client, press: Press
) -> None:
    """It is of the form as it was when it was begun, and a frame that is led to another address
    of the server, as its own scripts could, comes as a foreign one."""
    press.go_on.clear()
    made: list[bytes] = []

    def make() -> None:
        body = b'{"for":"guitar"}'
        made.append(client.ask(f"{client.base}preview/practice", "POST", body, JSON)[2])

    asking = threading.Thread(target=make)
    asking.start()
    assert press.begun.wait(10)
    state = json.loads(client.ask(f"{client.base}state")[2])
    for text in ("C7", "I7"):
        asked = {"do": "bar", "section": 0, "bar": 0, "text": text, "version": state["version"]}
        sent = json.dumps(asked).encode()
        status, _, body = client.ask(f"{client.base}edit", "POST", sent, JSON)
        state = json.loads(body)
        assert (status, made) == (200, [])
    assert client.status(f"{client.base}preview/pages?kind=chart") == 200
    press.go_on.set()
    asking.join(10)
    assert json.loads(made[0])["bytes"] == len(PAGE)
    status, headers, body = client.ask(f"{client.base}preview/practice/page")
    policy = headers["content-security-policy"].split("; ")
    assert (status, body.decode()) == (200, PAGE)
    assert policy == ["sandbox allow-scripts allow-downloads", "default-src 'none'",
                      "frame-ancestors 'self'"]  # fmt: skip
    headers = client.ask(f"{client.base}preview/practice/file")[1]
    assert headers["content-disposition"] == "attachment; filename*=UTF-8''ferry.html"
    for foreign in ({"Sec_Fetch_Site": "cross-site"}, {"Origin": "null"}):
        assert client.status(f"{client.base}preview/practice/page", **foreign) == 403
        assert client.status(f"{client.base}preview/pages", **foreign) == 403
        assert (
            client.status(f"{client.base}preview/practice", "POST", b"{}", **foreign, **KIND) == 403
        )
