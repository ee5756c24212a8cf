"""The rhythms of the Latin patterns against box notation as it is published."""

from __future__ import annotations

import pytest

from groove import library

# Toussaint: The Geometry of Musical Rhythm, 2013, and The Euclidean Algorithm Generates
# Traditional Musical Rhythms, Proceedings of BRIDGES, 2005 (all from memory).
TRESILLO = "x..x..x."
CINQUILLO = "x.xx.xx."
SAMBA = "x.x..x.x.x..x.x."
BEMBE = "x.x.xx.x.x.x"
SON = {"3-2": "x..x..x...x.x...", "2-3": "..x.x...x..x..x."}
RUMBA = {"2-3": "..x.x...x..x...x"}
BOSSA = {"3-2": "x..x..x...x..x.."}
CLAVES = (*SON.values(), *RUMBA.values(), *BOSSA.values())
# Common practice, written down from memory; no single source.
CASCARA = {"3-2": "x.x.xx.xx.xx.x.x", "2-3": "x.xx.x.xx.x.xx.x"}
MAMBO_BELL = "x.x.xxxx.xxx.xxx"
GUIRO = "x...x.x."
BAQUETEO = CINQUILLO + "x.x.x.x."
BOMBO_AND_PONCHE = "...x..x."
BIG_FOUR = 12  # the line of the fourth beat: common practice

WRITTEN = [
    ("rumba", "side-stick", SON["2-3"]),
    ("son-montuno", "side-stick", SON["3-2"]),
    ("mambo", "side-stick", SON["2-3"]),
    ("songo", "side-stick", RUMBA["2-3"]),
    ("bossa", "side-stick", BOSSA["3-2"]),
    ("son-montuno", "hat", CASCARA["3-2"]),
    ("mambo", "hat", CASCARA["2-3"]),
    ("mambo", "cowbell", MAMBO_BELL),
    ("samba", "side-stick", SAMBA),
    ("baiao", "kick", TRESILLO * 2),
    ("bembe", "cowbell", BEMBE),
    ("cha-cha", "hat", GUIRO * 2),
]


def row_of(table: dict[str, str], row: str) -> str:
    return table[row].replace(" ", "").replace("|", "")


def cells(name: str, row: str) -> list[str]:
    """A row of every cell that has it."""
    bars = library.load("drums", name)["bars"]
    return [row_of(table, row) for table in bars if row in table]


def bars_of(name: str, row: str, lines: int) -> list[str]:
    """A row of every bar of every cell that has it, in small letters, ghost notes as rests."""
    texts = [text.lower().replace("o", ".") for text in cells(name, row)]
    return [text[at : at + lines] for text in texts for at in range(0, len(text), lines)]


@pytest.mark.parametrize(("name", "row", "boxes"), WRITTEN)
def test_the_row_is_the_published_rhythm(name: str, row: str, boxes: str) -> None:
    """Up to its last beat in every bar; a clave all of it, the others in most of the bars."""
    bars = bars_of(name, row, len(boxes))
    last = len(boxes) * 3 // 4
    assert {bar[:last] for bar in bars} == {boxes[:last]}
    whole = sum(bar == boxes for bar in bars) / len(bars)
    assert whole == 1 if boxes in CLAVES else whole >= 0.6


def test_the_second_line_leans_on_the_three_two() -> None:
    """Accents of the snare: son clave (common practice)."""
    accents = {
        "".join("x" if mark == "X" else "." for mark in text[at : at + 16])
        for text in cells("second-line", "snare")
        for at in range(0, len(text), 16)
    }
    assert accents == {SON["3-2"]}


def test_the_second_line_has_the_big_four() -> None:
    assert all(text[BIG_FOUR] == "X" for text in cells("second-line", "kick"))


def test_the_bolero_plays_the_timbale_figure_from_the_second_level_on() -> None:
    bars = [table for table in library.load("drums", "bolero")["bars"] if table["level"] > 1]
    rows = [row_of(table, "side-stick").lower() for table in bars]
    played = [row[at : at + 16] for row in rows for at in range(0, len(row), 16)]
    assert {bar[:12] for bar in played} == {BAQUETEO[:12]}
    assert played.count(BAQUETEO) >= 0.8 * len(played)


@pytest.mark.parametrize("name", ["son-montuno", "mambo", "songo"])
def test_the_kick_is_on_the_bombo_in_every_bar(name: str) -> None:
    """And elsewhere, but for the downbeat, only on the ponche: the tumbao's two places."""
    for text in cells(name, "kick"):
        for bar in (text[:8].lower(), text[8:].lower()):
            assert bar[3] == "x"
            assert set(bar[1:3] + bar[4:6] + bar[7:]) == {"."}


@pytest.mark.parametrize("row", ["side-stick", "snare"])
def test_the_calypso_strikes_the_last_two_of_three(row: str) -> None:
    """The tresillo without its first stroke (common practice)."""
    expected = "." + TRESILLO[1:]
    for text in cells("calypso", row):
        main = text.lower().replace("o", ".")
        assert all(main[n] == "x" for n in range(16) if expected[n % 8] == "x"), text
