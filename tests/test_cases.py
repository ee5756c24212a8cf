"""Cases of a law in one test are all tried, and named where they fail."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cases import in_turn

tried: list[tuple[str, int]] = []


@in_turn("sign", "+-")
@in_turn(("number", "most"), [pytest.param(2, 1, id="two"), pytest.param(1, 1, id="one"), (3, 2)])
def small(sign: str, number: int, most: int, tmp_path: Path) -> None:
    tried.append((sign, number))
    assert tmp_path == Path("here")
    assert number <= most


def test_all_are_tried_and_those_that_fail_are_named() -> None:
    with pytest.raises(ExceptionGroup, match="2 of 2 cases failed") as failed:
        small(tmp_path=Path("here"))
    assert tried == [(sign, number) for sign in "+-" for number in (2, 1, 3)]
    first, last = failed.value.exceptions
    assert (first.__notes__, last.__notes__) == (["in the case +"], ["in the case -"])
    assert isinstance(last, ExceptionGroup)
    assert [error.__notes__ for error in last.exceptions] == [
        ["in the case two"], ["in the case 3, 2"]
    ]  # fmt: skip


def test_one_that_fails_is_shown_as_it_stands() -> None:
    @in_turn("number", [1, 2, 3])
    def single(number: int) -> None:
        assert number != 2

    with pytest.raises(AssertionError) as failed:
        single()
    assert failed.value.__notes__ == ["in the case 2"]


@in_turn("number", [1, 2, 3])
def test_fixtures_are_given_to_each(number: int, tmp_path: Path) -> None:
    (tmp_path / str(number)).touch()
    assert len(list(tmp_path.iterdir())) == number
