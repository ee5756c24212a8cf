"""Keys and tempos of a pack, and the form in each of them."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

import groove
from groove.errors import GrooveError
from groove.form.file_names import file_stem
from groove.form.unroll import unroll
from groove.form.written_chords import chorus_slots
from groove.handout.pack.keys import MOST_TRACKS, at, in_keys, read_keys, read_tempos
from groove.handout.pack.plan import padded, plan_pack
from groove.sound.midi import midi_file
from groove.sound.mixes import audio_files
from groove.sound.options import wanted
from groove.sound.synth.scores import parts_of
from groove.sound.synth.soundfonts import find_fonts
from groove.theory.keys import Key


def test_all_keys_are_twelve_in_the_forms_own_mode_from_c_up() -> None:
    major, minor = (read_keys("all", Key.parse(home)) for home in ("G", "Gm"))
    assert " ".join(key.symbol for key in major) == "C Db D Eb E F Gb G Ab A Bb B"
    assert " ".join(key.symbol for key in minor) == "Cm C#m Dm Ebm Em Fm F#m Gm G#m Am Bbm Bm"


def test_the_home_key_keeps_its_spelling() -> None:
    assert "F#" in [key.symbol for key in read_keys("all", Key.parse("F#"))]


def test_keys_come_in_any_order_and_are_taken_once_from_c_up() -> None:
    assert [key.symbol for key in read_keys("Bb, c,F#,Bb", Key.parse("C"))] == ["C", "F#", "Bb"]
    assert [key.symbol for key in read_keys(["A", "C"], Key.parse("Em"))] == ["Cm", "Am"]


@pytest.mark.parametrize("asked", ["H", "", "C,,X", "all,C", "G#"])
def test_what_is_no_key_is_one_line_that_says_what_is_allowed(asked: str) -> None:
    with pytest.raises(GrooveError, match=r"^keys: .*(is allowed|write Ab)"):
        read_keys(asked, Key.parse("C"))


def test_tempos_are_sorted_and_taken_once_the_forms_own_where_none_is_given() -> None:
    assert read_tempos("120,80, 92.5,80", 100) == (80, 92.5, 120)
    assert read_tempos([120, "80"], 100) == (80, 120)
    assert read_tempos(60, 100) == (60,)
    assert read_tempos("96.0000001,96", 100) == (pytest.approx(96),)  # one name, one track
    assert read_tempos("", 100) == (100,)


@pytest.mark.parametrize("asked", ["29", "321", "fast", "80,-3", "nan", "80;90", [0]])
def test_what_is_no_tempo_is_one_line_that_says_what_is_allowed(asked: str | list[float]) -> None:
    with pytest.raises(
        GrooveError, match=r"^tempos: found .* 30 to 320 beats a minute are allowed"
    ):
        read_tempos(asked, 100)


@pytest.mark.parametrize("form", ["twelve-bar", "minor-twelve-bar", "rhythm-changes"])
@pytest.mark.parametrize(("key", "tempo"), [("Eb", 61.0), ("F#", 240.0)])
def test_a_form_moved_is_the_form_read_in_that_key_at_that_tempo(
    form: str, key: str, tempo: float
) -> None:
    home = groove.read_form(form)
    moved = at(home, Key.parse(key, home.key.mode), tempo)
    read = groove.read_form(form, key=key, tempo=tempo)
    assert groove.compile_take(moved).parts == groove.compile_take(read).parts
    assert unroll(moved).rounds == unroll(read).rounds


def test_absolute_chords_move_along() -> None:
    chords = {"chords": "Am7 D7/F# Gmaj7 C", "key": "G"}
    moved = at(groove.read_form("twelve-bar", **chords), Key.parse("Bb"), 100)
    slots = [str(slot.chord) for slot in chorus_slots(moved)]
    assert slots == ["Cm7", "F7/A", "Bbmaj7", "Eb"]


def test_a_tempo_at_which_the_track_gets_too_long_or_too_fast_is_named() -> None:
    long = groove.read_form("twelve-bar", choruses=100, tempo=160)
    with pytest.raises(GrooveError, match=r"tempos: at 40 the track lasts .* at most 60"):
        at(long, long.key, 40)
    ladder = groove.read_form("twelve-bar", tempo=80, choruses=3, tempo_step=30)
    with pytest.raises(GrooveError, match=r"tempos: 300: 30 from 300 takes chorus 2 to 330"):
        at(ladder, ladder.key, 300)


def test_too_many_tracks_are_refused_before_they_are_planned() -> None:
    form = groove.read_form("twelve-bar")
    with pytest.raises(GrooveError, match=f"at most {MOST_TRACKS:,}"):
        in_keys(form, [form.key], [100.0] * (MOST_TRACKS + 1))


@pytest.mark.parametrize(
    "fields",
    [
        {},
        {"count_in": 0},
        {"ending": "loop"},
        {"tuning_note": True},
        {"tuning_note": True, "count_in": 0},
        {"key_cycle": "fourths", "choruses": 2},
        {"tempo_step": -4.5, "choruses": 2},
        {"key": "F#m", "tempo": 92.5, "drums": "jazz-waltz"},
    ],
)
def test_what_is_planned_is_what_is_made(fields: dict[str, Any]) -> None:
    form = groove.read_form("one-chord-vamp", **({"choruses": 1} | fields))
    asked = wanted("mp3,wav", {"stems": True, "without_each": True})
    plan = plan_pack(form, [[form]], asked, find_fonts(None, {}, []))
    track = plan.key_folders[0].tracks[0]
    parts = parts_of(midi_file(groove.compile_take(form)))
    made = [f"{file_stem(form)}.mid"]
    made += [file.path.name for file in audio_files(Path(file_stem(form)), parts, asked)]
    assert [piece.made_as for piece in track.pieces] == made
    assert len({piece.path for piece in plan.pieces}) == len(list(plan.pieces))


def _fingerprints(tempos: str, **fields: Any) -> dict[str, str]:
    form = groove.read_form("twelve-bar", **fields)
    tracks = in_keys(form, read_keys("C,F", form.key), read_tempos(tempos, form.tempo))
    plan = plan_pack(form, tracks, wanted("mp3", {}), find_fonts(None, {}, []))
    return {piece.path: piece.fingerprint for piece in plan.pieces}


@pytest.mark.parametrize(
    ("changes", "made_again"),
    [
        ({"tempos": "80,90,100"}, r"_090\."),
        ({"tempo": 101}, "practice"),
        ({"key": "F"}, "practice"),
        ({"title": "Twelve-Bar  Blues!"}, "."),  # it stands on and in every one
        ({"seed": 9}, "."),
    ],
)
def test_only_what_depends_on_a_change_is_made_again(
    changes: dict[str, Any], made_again: str
) -> None:
    plain = {"tempos": "80,100", "tempo": 120, "key": "C", "seed": 3}
    before, after = _fingerprints(**plain), _fingerprints(**(plain | changes))
    new = {path for path in after if after[path] != before.get(path)}
    assert new == {path for path in after if re.search(made_again, path)}


def test_a_ladder_of_tempos_is_in_the_name() -> None:
    form = groove.read_form("twelve-bar", tempo=80, choruses=3, tempo_step=4)
    plan = plan_pack(form, [[form]], wanted("none", {}), find_fonts(None, {}, []))
    assert plan.key_folders[0].tracks[0].pieces[0].path == ("01_C/twelve-bar-blues_C_080-to-88.mid")


def test_names_sort_as_tempos_do() -> None:
    tempos = [30, 62.5, 80, 100, 100.5, 320]
    assert sorted(map(padded, tempos)) == [padded(tempo) for tempo in tempos]
