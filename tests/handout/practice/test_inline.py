"""The page's program and style, put into one file."""

from __future__ import annotations

import re
from pathlib import Path

from groove.handout.practice.inline import PANELS, page_html, script, sources, styles
from groove.handout.web import allowed
from tests.browser.practice_material import TEXTS
from tests.handout.practice.page_material import text_in

SOURCES = Path(str(sources()))
MODULES = {path.relative_to(SOURCES).as_posix(): path for path in SOURCES.rglob("*.js")}


def test_the_policy_names_its_own_script_and_style_only(page: str) -> None:
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page)[1]
    assert policy.startswith("default-src 'none'; script-src 'sha256-")
    assert allowed(text_in(page, "program")) in policy
    assert "unsafe" not in policy
    assert "connect-src 'none'" in policy


def test_the_modules_use_the_import_and_export_that_inlining_knows() -> None:
    for name, source in MODULES.items():
        lines = source.read_text("utf-8").splitlines()
        assert len(lines) <= 300, name
        for line in lines:
            if line.startswith("import "):
                assert re.fullmatch(r'import \{ [\w, $]+ \} from "\.{1,2}/[\w/]+\.js";', line)
    assert not re.search(r"^(import|export) ", script(), re.MULTILINE)


def test_every_module_is_used() -> None:
    names = set(MODULES) - {"check.js", "open.js"}  # which run by themselves before the modules
    assert names == set(re.findall(r'^modules\["([\w/]+\.js)"\] = ', script(), re.MULTILINE))


LOWER_ROOMS = {
    "music": set(),
    "machines": {"music"},
    "sound": {"music", "machines"},
    "files": {"music", "sound"},
    "kept": {"music", "files"},
    "screen": {"music", "machines", "kept"},
    "takes": {"music", "sound", "files", "screen", "kept"},
    "tuner": {"music", "sound", "screen", "kept"},
}
"""The rooms that the modules of a room may import from, besides their own."""


def test_no_room_imports_from_one_above_it() -> None:
    for name, source in MODULES.items():
        room, _, module = name.partition("/")
        if module:
            others = set(re.findall(r'from "\.\./([\w/]*?)/?\w+\.js"', source.read_text("utf-8")))
            assert others <= LOWER_ROOMS[room], name


def test_every_panel_and_style_is_in_the_page(page: str) -> None:
    for panel in (SOURCES / "panels").iterdir():
        assert re.search(r'<section id="([\w-]+)"', panel.read_text("utf-8"))[0] in page
    found = {f"styles/{path.name}" for path in (SOURCES / "styles").iterdir()}
    assert set(styles()) == found
    assert set(styles(phrases=False)) == found - {"styles/phrases.css"}
    assert (styles()[0], styles()[-1]) == ("styles/page.css", "styles/print.css")


def test_the_panels_stand_in_the_order_in_which_a_student_meets_them(page: str) -> None:
    below = [name for name in PANELS if (SOURCES / "panels" / f"{name}.html").is_file()]
    order = ["way", "tab", "stretch", "hands", *below]
    assert set(order) == {path.stem for path in (SOURCES / "panels").iterdir()}
    texts = [(SOURCES / "panels" / f"{name}.html").read_text("utf-8") for name in order]
    places = [page.index(text[: text.index(" ", 9)]) for text in texts]
    assert places == sorted(places)


def test_comments_on_lines_of_their_own_stay_out_of_the_page() -> None:
    code = script()
    assert not re.search(r"^ *(//|/\*)", code, re.MULTILINE)
    assert not re.search(r"^import ", code, re.MULTILINE)
    assert "modules" in code


def test_the_program_of_phrases_is_in_pages_with_phrases_alone() -> None:
    assert 'modules["phrases.js"]' in script()
    assert 'modules["phrases.js"]' not in script(phrases=False)


def test_only_a_page_of_a_pack_leads_to_the_overview_beside_it() -> None:
    link = '<a id="overview" href="index.html">All files of this lesson</a>'
    alone, in_a_pack = (
        page_html(TEXTS, {"track": {}, "sounds": {}}, served=s) for s in (False, True)
    )
    assert link in in_a_pack
    assert "index.html" not in alone
