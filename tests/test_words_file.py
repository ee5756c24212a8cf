"""A teacher's file of sentences: what it may hold, and its errors."""

from __future__ import annotations

from pathlib import Path

import pytest

import groove
from groove.form.build import FormError
from groove.wording.file import read_words


@pytest.mark.parametrize(
    ("content", "error"),
    [
        ("[plann]\nx = 1", "unknown table 'plann'; did you mean plan?"),
        ("[plan.tempo]\nstrat = 'x'", "plan.tempo: unknown sentence 'strat'; did you mean start?"),
        ("[plan.tempo]\nstart = 3", "plan.tempo.start: found '3'; it is a text in quotes"),
        (
            "[plan.shares]\nquicker = 1",
            "plan.shares: no sentence; a file of words can't replace it",
        ),
        ("[plan.tempo]\nslow = 'In {tempi}.'", "plan.tempo.slow: unknown name {tempi}; there are:"),
        ("[plan.tempo]\nslow = 'In {tempo.'", "plan.tempo.slow: expected '}'"),
        ("[plan]\ntempo = 'x'", "plan.tempo: found 'x'; it is a table"),
        ("[plan.steps.99]\ntitle = 'x'", "plan.steps.99: there are 1 to"),
        ("[feel.pace]\nswing = [[72]]", "feel.pace.swing: found '[72]'; write it as"),
        ("[cautions]\ncautions = 'x'", "cautions.cautions: found 'x'; it is a list"),
        (
            "[titles.drums]\nrhumba = 'x'",
            "titles.drums: unknown name 'rhumba'; did you mean rumba?",
        ),
        ("[titles.horns]\nx = 'x'", "titles: unknown table 'horns'; did you mean forms?"),
        ("[plan", "not valid TOML"),
    ],
)
def test_a_fault_of_a_file_is_said_in_a_line(tmp_path: Path, content: str, error: str) -> None:
    path = tmp_path / "words.toml"
    path.write_text(content)
    with pytest.raises(ValueError, match="words") as found:
        read_words(str(path))
    assert str(found.value).startswith(f"{path}: {error}")
    assert "\n" not in str(found.value)


def test_a_missing_file_and_an_unknown_language_are_said(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="can't be read"):
        read_words(str(tmp_path / "none.toml"))
    with pytest.raises(FormError, match="'germann' is not there; did you mean german"):
        groove.read_form("twelve-bar", words="germann")


def test_words_of_a_form_file_lie_beside_it(tmp_path: Path) -> None:
    (tmp_path / "my.toml").write_text('[plan.steps.1]\ntitle = "Tones"\n')
    form = tmp_path / "ferry.toml"
    form.write_text('chords = "I7:4"\nwords = "my.toml"\n')
    assert groove.read_form(form).lesson.words.own["plan"]["steps"]["1"]["title"] == "Tones"


def test_a_table_of_a_list_is_replaced_by_its_number(tmp_path: Path) -> None:
    path = tmp_path / "my.toml"
    path.write_text('[plan.steps.2]\ntitle = "Roots"\n')
    steps = read_words(str(path)).whole("plan")["steps"]
    assert [steps[0]["title"], steps[1]["title"]] == ["Chord tones only", "Roots"]
    assert steps[1]["words"]


def test_a_shipped_form_has_its_title_in_the_words(tmp_path: Path) -> None:
    path = tmp_path / "my.toml"
    path.write_text('[titles.forms]\ntwelve-bar = "Zwölf Takte"\n')
    assert groove.read_form("twelve-bar", words=str(path)).title == "Zwölf Takte"
    assert groove.read_form("twelve-bar", words=str(path), title="Mine").title == "Mine"
