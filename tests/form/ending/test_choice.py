"""The choice of an ending: by style, metre, key and seed; by name where the form says one."""

from __future__ import annotations

import pytest

from groove import library
from groove.form.build import FormError
from groove.form.ending.choice import suiting
from groove.form.ending.pattern import ending
from groove.form.unroll import landing, unroll
from tests.cases import in_turn
from tests.form.ending.ending_material import HOMES, form


@in_turn("drums", library.names("drums"))
def test_ten_seeds_bring_three_endings_at_least(drums: str) -> None:
    for home in HOMES:
        names = suiting(landing(form(drums, home)))
        assert len({names[seed % len(names)] for seed in range(1, 11)}) >= 3, (home, names)


def test_the_seed_chooses_and_its_choice_stays_in_other_keys() -> None:
    heard = {form("shuffle", "dominant", seed=seed).ending for seed in range(1, 11)}
    assert len(heard) >= 3
    assert form("shuffle", "dominant", seed=2).ending == form("shuffle", key="Ab", seed=2).ending


@pytest.mark.parametrize("name", ["hit", "ring"])
def test_the_plain_endings_are_one_bar_and_one_stroke(name: str) -> None:
    chart = unroll(form("shuffle", ending=name))
    (bar,) = chart.ending
    assert bar.figure is not None
    (stroke,) = bar.figure.strokes
    assert stroke.start == bar.start
    assert stroke.length == (bar.length if name == "ring" else bar.meter.beat_ticks // 2)


@pytest.mark.parametrize("name", ["loop", "written"])
def test_the_names_of_no_ending_add_nothing(name: str) -> None:
    assert unroll(form("shuffle", ending=name)).ending == ()


@pytest.mark.parametrize(
    ("drums", "home", "name", "told"),
    [
        ("waltz", "major", "tag", ""),
        ("waltz", "major", "clave-stop", "clave-stop is not written for 3/4, waltz in halves"),
        ("shuffle", "dominant", "cold", "cold is not written for 4/4, shuffle in thirds"),
        ("two-beat", "minor", "two-bits", "two-bits has no chords where home is Cm"),
        ("six-eight", "major", "cold", "cold is not written for 6/8; these fit: "),
    ],
)
def test_an_ending_that_does_not_fit_is_refused_with_those_that_do(
    drums: str, home: str, name: str, told: str
) -> None:
    if not told:
        assert form(drums, home, ending=name).ending == name
        return
    with pytest.raises(FormError) as error:
        form(drums, home, ending=name)
    problem = error.value.problems[0]
    assert problem.startswith(f"ending: {told}")
    fitting = problem.partition("these fit: ")[2].split(", ")
    assert {"hit", "ring", "loop", "written"} <= set(fitting)
    for other in fitting:
        assert form(drums, home, ending=other).ending == other


def test_styles_without_an_ending_name_drum_patterns_that_would_have_it() -> None:
    """A name in `without` that no style covers would have no effect."""
    families = {name: library.load("drums", name)["family"] for name in library.names("drums")}
    for name in library.names("endings"):
        found = ending(name)
        for other in found.without:
            covered = {other, families[other], "any"} & set(found.styles)
            assert covered, (name, other)
