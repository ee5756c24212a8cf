"""The page's program and style, put into one file."""

from __future__ import annotations

import re

from groove.handout.practice.inline import script, sources


def test_the_policy_names_its_own_script_and_style_only(page: str) -> None:
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page)[1]
    assert policy.startswith("default-src 'none'; script-src 'sha256-")
    assert "unsafe" not in policy
    assert "connect-src 'none'" in policy


def test_the_modules_use_the_import_and_export_that_inlining_knows() -> None:
    for source in sources().iterdir():
        if source.name.endswith(".js"):
            lines = source.read_text("utf-8").splitlines()
            assert len(lines) <= 300, source.name
            for line in lines:
                if line.startswith("import "):
                    assert re.fullmatch(r'import \{ [\w, $]+ \} from "\./\w+\.js";', line)
    assert not re.search(r"^(import|export) ", script(), re.MULTILINE)


def test_every_module_is_used() -> None:
    names = {source.name for source in sources().iterdir() if source.name.endswith(".js")}
    names.remove("check.js")  # runs by itself before the modules
    assert names == set(re.findall(r'^modules\["(\w+\.js)"\] = ', script(), re.MULTILINE))


def test_comments_on_lines_of_their_own_stay_out_of_the_page() -> None:
    code = script()
    assert not re.search(r"^ *(//|/\*)", code, re.MULTILINE)
    assert '"./' not in code
    assert "modules" in code


def test_the_program_of_phrases_is_in_pages_with_phrases_alone() -> None:
    assert 'modules["phrases.js"]' in script()
    assert 'modules["phrases.js"]' not in script(phrases=False)
