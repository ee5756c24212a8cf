"""A practice page, made once for all tests that read it."""

from __future__ import annotations

import pytest

from groove.handout.practice.make import make_page
from tests.handout.practice.page_material import FORM


@pytest.fixture(scope="session")
def page(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The HTML of the page of FORM."""
    return make_page(FORM, tmp_path_factory.mktemp("page") / "tin.html").read_text("utf-8")
