"""Many small cases of a law in one test."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import update_wrapper
from inspect import signature
from typing import Any

Test = Callable[..., None]


def in_turn(
    names: str | Sequence[str],
    cases: Sequence[Any],
    ids: Callable[[Any], object] | Sequence[str] | None = None,
) -> Callable[[Test], Test]:
    """As `pytest.mark.parametrize`, with all cases in one test, since a test of its own takes
    longer than a small case. All are tried, and those that fail are named, each below its error.
    """
    wanted = (names,) if isinstance(names, str) else tuple(names)

    def decorate(test: Test) -> Test:
        def whole(**fixtures: Any) -> None:
            failed = []
            for number, case in enumerate(cases):
                values = getattr(case, "values", None) if hasattr(case, "marks") else None
                if values is None:
                    values = (case,) if isinstance(names, str) else case
                try:
                    test(**dict(zip(wanted, values, strict=True)), **fixtures)
                except Exception as error:
                    error.add_note(f"in the case {_name(case, values, number, ids)}")
                    failed.append(error)
            if len(failed) == 1:
                raise failed[0]
            if failed:
                raise ExceptionGroup(f"{len(failed)} of {len(cases)} cases failed", failed)

        update_wrapper(whole, test)
        del whole.__wrapped__
        asked = signature(test)
        left = [which for name, which in asked.parameters.items() if name not in wanted]
        whole.__signature__ = asked.replace(parameters=left)  # type: ignore[attr-defined]
        return whole

    return decorate


def _name(case: Any, values: Sequence[Any], number: int, ids: Any) -> str:
    if getattr(case, "id", None) and hasattr(case, "marks"):
        return str(case.id)
    if ids is not None and not callable(ids):
        return str(ids[number])
    return ", ".join(str(ids(value) if ids else getattr(value, "name", value)) for value in values)
