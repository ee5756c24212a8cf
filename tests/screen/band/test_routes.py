"""What a page may ask of the band's addresses, and what is refused."""

from __future__ import annotations

import json
import threading
from typing import Any

import pytest

from groove.errors import GrooveError
from groove.screen.band.routes import wish_of
from groove.screen.band.two_bars import Wish
from groove.screen.open_form import OpenForm
from groove.screen.serve import serve
from groove.theory.keys import Key
from tests.screen.test_guard import JSON, Client

FORM = """\
key = "G"
drums = "bossa"
[[sections]]
name = "A"
chords = "I7:4"
[[sections]]
name = "B"
drums = "samba"
chords = "IV7:4"
"""


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Client:
    file = tmp_path_factory.mktemp("lessons") / "ferry.toml"
    file.write_text(FORM)
    found: list[str] = []
    ready = threading.Event()

    def told(address: str) -> None:
        found.append(address)
        ready.set()

    form = OpenForm.at(file, FORM)
    threading.Thread(target=serve, args=(form, 0, told), daemon=True).start()
    assert ready.wait(10)
    return Client(found[0])


def test_the_patterns_say_what_is_played_and_what_the_drums_bring(client: Client) -> None:
    status, _, body = client.ask(f"{client.base}band/patterns")
    told: dict[str, Any] = json.loads(body)
    assert status == 200
    assert told["played"] == {
        "drums": ["bossa"], "bass": ["bossa"], "comping": ["bossa-guitar"],
        "percussion": ["shaker"],
    }  # fmt: skip
    assert told["elsewhere"] == {"drums": ["B"], "bass": [], "comping": [], "percussion": []}
    assert [row["player"] for row in told["instruments"]] == ["drums", "bass", "comping"]


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({"kind": "bass"}, Wish("bass")),
        ({"kind": "drums", "name": "rumba", "whole": True}, Wish("drums", "rumba", whole=True)),
        (
            {"kind": "drums", "tempo": 90, "key": "Eb"},
            Wish("drums", tempo=90, key=Key.parse("Eb")),
        ),
        (
            {"kind": "bass", "instrument": {"player": "bass", "name": "Fretless Bass"}},
            Wish("bass", instruments=(("bass", "fretless bass"),)),
        ),
    ],
)
def test_a_wish_is_read(asked: dict[str, Any], found: Wish) -> None:
    assert wish_of(asked) == found


@pytest.mark.parametrize(
    "asked",
    [
        None,
        [],
        {"kind": 3},
        {"kind": "bass", "name": ["walking"]},
        {"kind": "bass", "instrument": "tuba"},
        {"kind": "bass", "instrument": {"player": ["bass"], "name": "tuba"}},
        {"kind": "bass", "instrument": {"player": "bass", "name": {"x": 1}}},
        {"kind": "bass", "instrument": {"player": "bass", "name": "tuba" * 10_000}},
        {"kind": "drums", "instrument": {"player": "drums", "name": "../kit"}},
        {"kind": "drums", "tempo": 1e9},
        {"kind": "drums", "tempo": True},
        {"kind": "drums", "tempo": "90"},
        {"kind": "drums", "key": "Am"},
        {"kind": "drums", "key": ["C"]},
    ],
)
def test_what_is_no_wish_is_refused(asked: Any) -> None:
    with pytest.raises(GrooveError):
        wish_of(asked)


@pytest.mark.parametrize(
    "asked", [{"kind": "drums", "name": "../../etc/passwd"}, {"kind": "forms"}, "drums", {}]
)
def test_a_hostile_wish_gets_words_and_no_sound(client: Client, asked: Any) -> None:
    body = json.dumps(asked).encode()
    status, _, answer = client.ask(f"{client.base}band/hear", "POST", body, JSON)
    assert status == 422
    assert list(json.loads(answer)) == ["trouble"]
