"""Packs that the tests of the pack share; those that change one copy the folder."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.handout.pack.pack_material import SMALL, pack_into


@pytest.fixture(scope="session")
def whole(whole_pack: Path) -> Path:
    """A pack in two keys at two tempos, with stems."""
    return whole_pack


@pytest.fixture(scope="session")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A pack of one track."""
    folder = tmp_path_factory.mktemp("pack") / "small"
    pack_into(folder, **SMALL)
    return folder
