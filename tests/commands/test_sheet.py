"""The sheet command."""

import json
from pathlib import Path

from click.testing import CliRunner

from groove.cli import cli


def test_command_prints_the_sheet_as_text_where_no_file_is_asked() -> None:
    result = CliRunner().invoke(cli, ["sheet", "twelve-bar", "--key", "A"])
    assert result.exit_code == 0
    assert result.stdout.startswith("# Twelve-bar blues\n")


def test_command_passes_every_option_on(tmp_path: Path) -> None:
    path = tmp_path / "sheet.json"
    arguments = ["--instrument", "bass", "--left-handed", "--position", "5", "--dots", "fingers"]
    phrase = ["--phrase", "A1 C2", "--tuning", "bass-5"]
    result = CliRunner().invoke(cli, ["sheet", "twelve-bar", "-o", str(path), *arguments, *phrase])
    assert result.exit_code == 0, result.output
    data = json.loads(path.read_text())
    assert data["instrument"]["left_handed"]
    assert data["instrument"]["tuning"]["title"] == "five-string bass"
    assert data["phrase"]["notes"][0]["name"] == "A1"
