"""The package's own soundfont: the laws of its format, what it has, and how even it is."""

from __future__ import annotations

import struct
import subprocess
import sys
from itertools import combinations, pairwise
from pathlib import Path
from random import Random

import numpy as np
import pytest

from groove import library
from groove.rhythm.kit import INSTRUMENTS, KIT, KITS
from groove.sound.synth.licences import Terms, terms
from groove.sound.synth.soundfont_file import keys, presets, read_info
from groove.sound.synth.soundfonts import PACKAGED
from tests.bench.soundfont import measuring, note_figures
from tests.bench.soundfont.kit_alternates import BANKS
from tests.bench.soundfont.playing import RATE, Player
from tests.sound.synth.own_font_material import COMPRESSED, chunks, content, frames_of, headers

MOST_BYTES = 12_000_000
TERMINALS = {"phdr": (38, b"EOP"), "inst": (22, b"EOI"), "shdr": (46, b"EOS")}
LEAST_LOOP = 32
MOST_STEP = 2.5
MOST_CENTS = 5.0
BASSES = ("acoustic bass", "electric bass (finger)", "electric bass (pick)")
ALIKE = {"hat": 0.8, "ride": 0.8, "kick": 0.95, "snare": 0.95}
EVEN = ("electric bass (finger)", "electric guitar (jazz)", "electric guitar (clean)")


def instruments_of_patterns() -> set[str]:
    """Every instrument that a pattern, a written line or the tuning note names."""
    found = set()
    for kind in ("bass", "comping"):
        for name in library.names(kind):
            table = library.table(f"{kind}/{name}")
            found |= {table["instrument"]} if "instrument" in table else set()
    return found | {library.table("lines")[line]["instrument"] for line in ("riff", "melody")}


def test_it_is_a_soundfont_of_the_size_that_was_allowed() -> None:
    assert read_info(PACKAGED).name == "groove band"
    assert len(content()) <= MOST_BYTES


def test_its_licences_ask_for_a_credit_at_most_and_stand_beside_it() -> None:
    info = read_info(PACKAGED)
    text = PACKAGED.with_name("LICENCE.txt").read_text()
    assert terms(info.licence) is Terms.CREDIT
    assert "Permission is hereby granted, free of charge" in text
    for credit in info.comment.split("; "):
        assert credit.split(",")[0] in " ".join(text.split())


def test_every_list_ends_with_its_terminal_record() -> None:
    for name, (size, word) in TERMINALS.items():
        assert chunks()[name][-size:].startswith(word)
    for name, size in (("pmod", 10), ("pgen", 4), ("imod", 10), ("igen", 4)):
        assert chunks()[name][-size:] == bytes(size)


def test_samples_are_whole_streams_side_by_side_with_their_loops_inside() -> None:
    samples = chunks()["smpl"]
    assert headers()[0].start == 0
    assert headers()[-1].end == len(samples)
    assert all(before.end == after.start for before, after in pairwise(headers()))
    for header in headers():
        assert header.kind & COMPRESSED
        frames = frames_of(samples[header.start : header.end])
        assert 0 <= header.loop_start < header.loop_start + LEAST_LOOP <= header.loop_end <= frames


def test_every_instrument_of_the_patterns_has_all_its_keys() -> None:
    assert len(instruments_of_patterns()) > 10
    for name in instruments_of_patterns():
        instrument = INSTRUMENTS[name]
        wanted = set(range(instrument.lowest, instrument.highest + 1))
        assert wanted <= keys(PACKAGED, 0, instrument.program), name


def test_every_kit_has_all_pieces_and_so_do_its_other_strokes() -> None:
    pieces = {voice.note for voice in KIT.values()}
    kits = [place for place in presets(PACKAGED) if place[0] >= BANKS[0]]
    assert {bank for bank, _ in kits} == {*BANKS, 128}
    assert {(128, program) for program in KITS.values()} <= set(kits)
    for bank, program in kits:
        assert pieces <= keys(PACKAGED, bank, program), (bank, program)


def test_other_strokes_are_unlike_the_first_and_as_loud() -> None:
    strokes: dict[str, list[np.ndarray]] = {piece: [] for piece in ALIKE}
    with Player(PACKAGED) as player:
        for bank in (128, 120, 121):
            player.choose(bank, KITS["standard"])
            for piece, found in strokes.items():
                found.append(player.note(KIT[piece].note, 90, 0.3, 0).astype(np.float64))
    for piece, found in strokes.items():
        for one, other in combinations(found, 2):
            assert measuring.likeness(one, other, RATE, 0.3) <= ALIKE[piece], piece
            levels = [measuring.level(stroke, RATE, 0.3) for stroke in (one, other)]
            assert abs(levels[0] - levels[1]) < 0.6, piece


def test_a_hard_stroke_on_the_piano_is_brighter_and_no_layer_is_louder_than_the_next() -> None:
    with Player(PACKAGED) as player:
        player.choose(0, INSTRUMENTS["acoustic grand piano"].program)
        for key in (48, 67):
            sounds = [
                player.note(key, velocity, 0.4, 0).astype(np.float64)
                for velocity in range(24, 121, 12)
            ]
            tones = [measuring.brightness(sound, RATE) for sound in (sounds[0], sounds[-1])]
            assert tones[1] >= 1.5 * tones[0]
            steps = np.diff([measuring.level(sound, RATE, 0.4) for sound in sounds])
            assert 0 < steps.min() <= steps.max() < 8


@pytest.mark.parametrize("name", EVEN)
def test_neighbouring_keys_are_equally_loud_and_in_tune(name: str) -> None:
    with Player(PACKAGED) as player:
        player.choose(0, INSTRUMENTS[name].program)
        sounds = {
            key: player.note(key, 90, 0.6, 0)
            for key in note_figures.keys_of(INSTRUMENTS[name].program)
        }
    for measured in (note_figures.loudness, note_figures.level):
        levels = [measured(sound) for sound in sounds.values()]
        assert np.abs(np.diff(levels)).max() < MOST_STEP
    for key in list(sounds)[::5]:
        assert abs(note_figures.cents(sounds[key], key)) < MOST_CENTS


def test_notes_end_as_a_hand_ends_them() -> None:
    def fall(player: Player, name: str) -> float:
        player.choose(0, INSTRUMENTS[name].program)
        return note_figures.fall(player.note(40, 90, 0.5, 0.6), 0.5, 40)

    with Player(PACKAGED) as player:
        assert all(100 < fall(player, name) < 140 for name in BASSES)
        assert fall(player, "acoustic guitar (steel)") < 300


def test_a_note_off_does_not_cut_a_stroke_and_a_hat_shuts_the_open_one() -> None:
    with Player(PACKAGED) as player:
        player.choose(128, KITS["standard"])
        for piece in ("kick", "snare", "tom-low", "crash", "ride"):
            short, long = (
                player.note(KIT[piece].note, 100, held, 1.0 - held)[: RATE // 2]
                for held in (0.05, 0.6)
            )
            assert abs(note_figures.level(short) - note_figures.level(long)) < 0.5, piece
        rings = player.note(KIT["hat-open"].note, 100, 0.1, 0.9)
        player.note(KIT["hat-open"].note, 100, 0.1, 0)
        shut = player.note(KIT["hat"].note, 1, 0.9, 0, over=True)
        tail = slice(RATE // 2, RATE * 3 // 4)
        assert note_figures.level(shut[tail]) < note_figures.level(rings[tail]) - 12


def test_damaged_copies_sound_or_are_refused_in_one_line(tmp_path: Path) -> None:
    """One process for all of them, so that it may fall."""
    program = "from tests.bench.soundfont.damage import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", program, str(PACKAGED), "3", str(tmp_path)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "3 of 3" in done.stdout


def test_a_page_of_a_sample_that_was_changed_is_noticed() -> None:
    header = headers()[0]
    stream = bytearray(chunks()["smpl"][header.start : header.end])
    stream[Random(1).randrange(100, len(stream))] ^= 1
    with pytest.raises(AssertionError):
        frames_of(bytes(stream))
    assert struct.unpack("<I", content()[4:8])[0] == len(content()) - 8
