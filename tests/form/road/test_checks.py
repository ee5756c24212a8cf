"""Arrangements that can't be played are refused in one line, with place and remedy."""

from pathlib import Path

import pytest

from groove.errors import GrooveError
from groove.form.read import read_form

HEAD = 'key = "C"\ntempo = 120\ndrums = "medium-swing"\n'
A = '\n[[sections]]\nname = "A"\nchords = "| I | IV | V | I |"\n'


def refusal(tmp_path: Path, text: str) -> str:
    path = tmp_path / "road.toml"
    path.write_text(text)
    with pytest.raises(GrooveError) as caught:
        read_form(path)
    assert "\n" not in str(caught.value)
    return str(caught.value).removeprefix(f"{path}, ")


@pytest.mark.parametrize(
    ("order", "place", "said"),
    [
        ('["A, X"]', "line 4, order", "no section 'X'; there are: A"),
        ('["A:9"]', "line 4, order", "1 to 4 bars, or -1 to -4"),
        ('["A 2nd"]', "line 4, order", "no time_bars; leave the time out"),
        ('[{ play = "A x100", times = 100 }]', "line 4, order", "at most 20,000 are allowed"),
        ('[{ play = "A x50", times = 20 }]', "line 4, order", "at most 60 are allowed"),
        ("[]", "line 4, order", "write order ="),
        ('[{ as = "solo" }]', "line 4, order", 'play = "A"'),
        ('[{ play = "A", times = 0 }]', "line 4, order", "from 1 to 100 is allowed"),
        ('[{ play = "A", tromb = 4 }]', "line 4, order", "unknown field 'tromb'"),
        ('[{ play = "A", trade = 3 }]', "line 4, order", "that 3 divides, 6 or more"),
        ('[{ play = "A", trade = 4 }]', "line 4, order", "that 4 divides, 8 or more"),
        ('[{ play = "A", key = "+20" }]', "line 4, order", "-11 to +11 semitones"),
        ('[{ play = "A", tacet = "singer" }]', "line 4, order", "tacet: found 'singer'"),
        ('[{ play = "A", dynamics = "loud" }]', "line 4, order", "pp, p, mp, mf, f, ff"),
        ('[{ play = "A", rit = 9 }]', "line 4, order", "1 to 4 are allowed"),
        ('[{ play = "A", riff = "horns" }]', "line 4, order", "no riff is named 'horns'"),
        (
            '[{ play = "A", times = 100, tempo_step = 30 }]', "line 4, order",
            "30 to 320 beats a minute",
        ),
        ('[\n  "A",\n  { play = "A", stops = { 1-9 = "X..." } },\n]', "line 6, order", "no bar 9"),
    ],
)  # fmt: skip
def test_lines_of_the_order(tmp_path: Path, order: str, place: str, said: str) -> None:
    found = refusal(tmp_path, f"{HEAD}order = {order}\n{A}")
    assert found.startswith(place), found
    assert said in found


@pytest.mark.parametrize(
    ("field", "said"),
    [
        ('kicks.2 = "x..x ."', "'x..x.' has 5 characters for a bar of 4/4; 4, 8"),
        ('kicks.9 = "x..."', "has no bar 9; it has 4"),
        ('stops = "X?.."', "write x, X (accent)"),
        ('kicks.2 = "x..."\nstops = "X..."', "bar 2 has kicks and stops; one of them"),
        ("kicks = 4", "write it by bar"),
        ('fermata = "2.7"', "bar 2.7 is not in it"),
        ("rit = 9", "1 to 4 are allowed"),
        ("tempo = 900", "30 to 320 beats a minute"),
        ('meter = "5/3"', "there are: 4/4"),
        ('pulse = "triple"', "half, double"),
        ('beat = "eighth"', "quarter = dotted quarter"),
        ('pedal = "H"', "write a note"),
        ('comping = "charleston-piano, left-hand-piano"', "one guitar and one keyboard"),
        ('bass = "waltz-root"', "these fit"),
        ('time_bars = ["| V | I:1/2 |"]', "do not fill one bar"),
        ('title = "x"', "fields of the whole form stand above"),
        ("trade = 4", "a field of a line of the order"),
        ('drumz = "bossa"', "did you mean drums?"),
    ],
)
def test_fields_of_a_section(tmp_path: Path, field: str, said: str) -> None:
    found = refusal(tmp_path, f'{HEAD}order = ["A"]\n{A}{field}\n')
    name = field.partition("=")[0].partition(".")[0].strip()
    assert found.startswith(f"line 9, {name}"), found
    assert said in found


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        (
            'choruses = 3\norder = ["A"]',
            "choruses: with an order its lines say it; write times",
        ),
        ('key_cycle = "up"\norder = ["A"]', "line 4, key_cycle: with an order"),
        ('pickup = "V7:2"\norder = ["A"]', "line 4, pickup: lasts 2 bars"),
        ('pickup = "V7:1/4"\ncount_in = 0', "leave a bar of count-in"),
        ('kicks.1 = "x..."\norder = ["A"]', "line 4, kicks: there are sections"),
        ('ending = "loop"\norder = ["A", { play = "A", key = "+2" }]', "ends as it began"),
    ],
)
def test_fields_beside_an_order(tmp_path: Path, fields: str, said: str) -> None:
    assert said in refusal(tmp_path, f"{HEAD}{fields}\n{A}")


@pytest.mark.parametrize(
    ("field", "place", "said"),
    [
        ('melody = "| C4:3 | D4:4 |"', "melody", "bar 1 has 3 of the 4 beats of 4/4; add 1"),
        ('melody = "C4:20"', "melody", "longer than the 4 bars they have"),
        ('melody = "C4 H4"', "melody", "note 2, 'H4': German H is B here"),
        ("melody = 4", "melody", "write notes in quotes"),
        ('melody = { note = "C4:4" }', "melody", "unknown field 'note'; did you mean notes?"),
        ('melody = { instrument = "flute" }', "melody", "no notes; write notes ="),
        ('riff = "horn"', "riff", "no riff is named 'horn'; did you mean horns?"),
        ('instrument = { bass = "fretles" }', "instrument", "did you mean fretless bass?"),
        ('instrument = { bas = "tuba" }', "instrument", "found 'bas'; did you mean bass?"),
        ('instrument = { drums = "tuba" }', "instrument", "kits are standard, room, power"),
        ('instrument = { percussion = "tuba" }', "instrument", "choose another pattern"),
        ('instrument = "tuba"', "instrument", 'write { bass = "fretless bass" }'),
    ],
)
def test_melodies_riffs_and_instruments_of_a_section(
    tmp_path: Path, field: str, place: str, said: str
) -> None:
    riffs = '\n[[riffs]]\nname = "horns"\nnotes = "1 3 5 -"\n'
    found = refusal(tmp_path, f'{HEAD}order = ["A"]\n{A}{field}\n{riffs}')
    assert found.startswith(f"line 9, {place}"), found
    assert said in found


@pytest.mark.parametrize(
    ("riff", "said"),
    [
        (
            'name = "horns"\nnotes = "1 3 5"',
            "horns in section A: bar 1 has 3 of the 4 beats",
        ),
        ('name = "horns"', "riff 'horns': no notes"),
        ('notes = "1:4"', "riff 1 has no name"),
        ('name = "horns"\nnotes = "1:4"\ninstrument = "trombon"', "did you mean trombone?"),
        ('name = "horns"\nnotes = "1:4"\nfrom = "root"', "there are: chord, key"),
    ],
)
def test_riffs(tmp_path: Path, riff: str, said: str) -> None:
    found = refusal(tmp_path, f'{HEAD}order = ["A"]\n{A}riff = "horns"\n\n[[riffs]]\n{riff}\n')
    assert "riff" in found.split(":")[0], found
    assert said in found
