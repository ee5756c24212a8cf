"""A soundfont that could harm the synthesiser is refused in one line before it is loaded."""

from __future__ import annotations

import contextlib
import os
import random
import re
import struct
from collections.abc import Callable
from pathlib import Path

import pytest

from groove.errors import GrooveError
from groove.sound.synth.scores import scores
from groove.sound.synth.soundfont_file import keys, presets, read_info
from groove.sound.synth.soundfont_records import LOOPING, RECORD_BYTES, SAMPLE
from groove.sound.synth.soundfonts import PACKAGED, Fonts, Soundfont
from groove.sound.synth.stems import play_stems
from tests.sound.sound_material import (
    GENERAL_MIDI,
    chunk,
    midi_of,
    run_python,
    tiny_soundfont,
)

Put = Callable[..., Path]


def load(path: Path) -> None:
    """Have the synthesiser load a soundfont and play a little with it."""
    notes = midi_of({9: [(0, 0.1, 37, 100)], 0: [(0, 0.1, 40, 100)]}, {0: 33})
    with play_stems(scores(notes), Fonts(Soundfont(path, "odd", "none"))) as playing:
        next(playing)


def _pdta(**changed: bytes) -> bytes:
    least = {
        name: bytes(size * (2 if name in ("phdr", "inst", "shdr") else 1))
        for name, size in RECORD_BYTES.items()
    }
    return b"".join(chunk(name, content) for name, content in (least | changed).items())


def _sample(*places: int, kind: int = 1) -> bytes:
    """Records of a soundfont with one looped sample: its start and end, and those of the loop."""
    shdr = struct.pack("<20s4I8xH46x", b"Fiddle D4", *places, kind)
    return _pdta(
        inst=struct.pack("<20xH20xH", 0, 1),
        ibag=struct.pack("<HHHH", 0, 0, 2, 0),
        igen=struct.pack("<HHHHHH", LOOPING, 1, SAMPLE, 0, 0, 0),
        shdr=shdr,
    )


WHOLE = tiny_soundfont()
REFUSED = {
    "empty": (b"", "empty"),
    "shorter than a header": (b"RIFF\x10", "not a soundfont"),
    "text": (b"chords = 'I IV V'\n" * 50, "not a soundfont"),
    "random bytes": (random.Random(7).randbytes(5000), "not a soundfont"),
    "a WAV sound": (b"RIFF" + struct.pack("<I", 40) + b"WAVE" + bytes(36), "WAV"),
    "cut off": (WHOLE[:-10], "cut off"),
    "huge declared size": (b"RIFF\xff\xff\xff\xffsfbk" + bytes(100), "cut off"),
    "something behind it": (WHOLE + b"\0\0", "follow the end"),
    "garbage inside": (
        b"RIFF" + struct.pack("<I", 504) + b"sfbk" + random.Random(7).randbytes(500),
        "damaged",
    ),
    "nothing inside": (b"RIFF" + struct.pack("<I", 4) + b"sfbk", "found none"),
    "huge chunk inside": (WHOLE[:16] + b"\xff\xff\xff\x7f" + WHOLE[20:], "damaged: chunk LIST"),
    "no pdta chunks": (tiny_soundfont(pdta=b""), "found none"),
    "half a preset header": (tiny_soundfont(pdta=_pdta(phdr=bytes(50))), "phdr has 50 bytes"),
    "no sample headers": (tiny_soundfont(pdta=_pdta(shdr=b"")), "shdr has 0 bytes"),
    "too many generators": (tiny_soundfont(pdta=_pdta(igen=bytes(4 * 65_537))), "igen has"),
    "a zone that is not there": (
        tiny_soundfont(pdta=_pdta(inst=bytes(42) + b"\x09\x00")),
        "inst points to ibag",
    ),
    "an end that is none": (
        tiny_soundfont(pdta=_pdta(pbag=bytes(8))),
        "the last phdr record ends at pbag 0, not 1",
    ),
    "a sample that ends behind the data": (
        tiny_soundfont(pdta=_sample(0, 49, 8, 40)),
        "the sample 'Fiddle D4' lies outside of the sample data",
    ),
    "a sample that ends before it begins": (
        tiny_soundfont(pdta=_sample(40, 8, 10, 20)),
        "the sample 'Fiddle D4' lies outside",
    ),
    "a loop that ends behind its sample": (
        tiny_soundfont(pdta=_sample(0, 40, 8, 41)),
        "the loop of the sample 'Fiddle D4' lies outside of it",
    ),
    "a loop that ends before it begins": (
        tiny_soundfont(pdta=_sample(0, 40, 20, 8)),
        "the loop of the sample 'Fiddle D4' lies outside of it",
    ),
    "a compressed sample that is none": (
        tiny_soundfont(pdta=_sample(0, 90, 8, 40, kind=0x11)),
        "the sample 'Fiddle D4' is no Vorbis stream",
    ),
    "zones in the wrong order": (
        tiny_soundfont(pdta=_pdta(pbag=b"\1\0\0\0" + bytes(4), pgen=bytes(8))),
        "pbag points to pgen",
    ),
}


@pytest.mark.parametrize("kind", REFUSED)
def test_refused(kind: str, soundfont_at: Put) -> None:
    content, reason = REFUSED[kind]
    path = soundfont_at("bad.sf2", content)
    with pytest.raises(GrooveError) as error:
        read_info(path)
    assert reason in str(error.value)


@pytest.mark.parametrize("kind", REFUSED)
def test_a_refusal_is_one_line_that_names_the_file(kind: str, soundfont_at: Put) -> None:
    path = soundfont_at("bad.sf2", REFUSED[kind][0])
    with pytest.raises(GrooveError) as error:
        read_info(path)
    assert re.fullmatch(rf"soundfont {re.escape(str(path))}: [^\n]+", str(error.value))


@pytest.mark.parametrize("places", [(0, 48, 0, 48), (8, 40, 20, 30)])
def test_a_sample_and_its_loop_may_reach_to_the_ends(
    places: tuple[int, ...], soundfont_at: Put
) -> None:
    read_info(soundfont_at("whole.sf2", tiny_soundfont(pdta=_sample(*places))))


def test_every_cut_of_a_whole_one_is_refused(soundfont_at: Put) -> None:
    for length in range(len(WHOLE)):
        with pytest.raises(GrooveError):
            read_info(soundfont_at("cut.sf2", WHOLE[:length]))


def test_an_odd_list_of_samples_may_lack_its_pad_byte(soundfont_at: Put) -> None:
    """As in compressed soundfonts that are around; the synthesiser loads them too."""
    path = soundfont_at("odd.sf3", tiny_soundfont(samples=97, pad=False))
    read_info(path)
    assert presets(path) == {(0, 0)}
    load(path)


def test_an_odd_list_of_samples_may_have_its_pad_byte(soundfont_at: Put) -> None:
    assert presets(soundfont_at("odd.sf3", tiny_soundfont(samples=97))) == {(0, 0)}


def test_any_other_odd_chunk_needs_its_pad_byte(soundfont_at: Put) -> None:
    padded = tiny_soundfont(info=b"ICMT" + struct.pack("<I", 3) + b"odd")
    bare = padded.replace(b"odd\0LIST", b"oddLIST")
    content = b"RIFF" + struct.pack("<I", len(bare) - 8) + bare[8:]
    read_info(soundfont_at("padded.sf2", padded))
    with pytest.raises(GrooveError, match="damaged"):
        read_info(soundfont_at("bare.sf2", content))


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(GrooveError, match="no such file"):
        read_info(tmp_path / "none.sf2")


def test_a_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(GrooveError, match="this is a folder"):
        read_info(tmp_path)


def test_a_pipe_is_refused_without_waiting_for_it(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.sf2")
    with pytest.raises(GrooveError, match="not an ordinary file"):
        read_info(tmp_path / "pipe.sf2")


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_an_unreadable_file_is_refused(soundfont_at: Put) -> None:
    path = soundfont_at("closed.sf2")
    path.chmod(0)
    with pytest.raises(GrooveError, match="no permission"):
        read_info(path)


def test_a_path_that_cannot_be_is_refused() -> None:
    with pytest.raises(GrooveError, match="cannot be read"):
        read_info(Path("a\0b.sf2"))


def test_what_the_synthesiser_refuses_is_an_error(soundfont_at: Put) -> None:
    info = chunk("ifil", b"\2\0\1\0") + chunk("what", b"abcd")
    path = soundfont_at("odd.sf2", tiny_soundfont(info))
    with pytest.raises(GrooveError, match="it cannot be loaded: "):
        load(path)


def test_what_the_synthesiser_refuses_makes_no_noise(
    soundfont_at: Put, capfd: pytest.CaptureFixture[str]
) -> None:
    info = chunk("ifil", b"\2\0\1\0") + chunk("what", b"abcd")
    path = soundfont_at("odd.sf2", tiny_soundfont(info))
    with pytest.raises(GrooveError):
        load(path)
    assert capfd.readouterr() == ("", "")


def test_damaged_files_never_take_the_process_down(tmp_path: Path) -> None:
    """Damage at any place in a real soundfont's records gives sound or a `GrooveError`."""
    whole = GENERAL_MIDI.read_bytes()
    records = whole.rfind(b"pdta")
    path = tmp_path / "hit.sf2"
    for seed in range(20):
        dice = random.Random(seed)
        hit = bytearray(whole)
        for _ in range(10 * 4 ** (seed % 4)):
            hit[dice.randrange(records, len(hit))] = dice.randrange(256)
        path.write_bytes(hit)
        with contextlib.suppress(GrooveError):
            read_info(path)
            load(path)


PLAY_DAMAGED = """
import random, sys, tempfile
from pathlib import Path
from groove.errors import GrooveError
from groove.sound.synth.soundfonts import find_fonts
from tests.sound.sound_material import GENERAL_MIDI, midi_of, render_to
folder, whole = Path(sys.argv[1]), GENERAL_MIDI.read_bytes()
records = whole.rfind(b"pdta")
midi = midi_of(
    {9: [(0, 1, 36, 90), (1, 1, 42, 90)], 0: [(0, 2, 40, 90)], 1: [(0, 2, 60, 90)]}, {0: 33, 1: 4}
)
for seed in range(8):
    dice, hit = random.Random(seed), bytearray(whole)
    for _ in range(10 * 4 ** (seed % 4)):
        hit[dice.randrange(records, len(hit))] = dice.randrange(256)
    (folder / "hit.sf2").write_bytes(hit)
    try:
        report = render_to(folder / "x.wav", midi, find_fonts(folder / "hit.sf2", {}))
        print("sound", report.seconds > 1)
    except GrooveError as error:
        print("error", str(error).count(chr(10)) == 0)
"""


def test_damaged_files_are_played_or_refused_in_one_line(tmp_path: Path) -> None:
    """In a process of its own, as the library that plays them is not ours."""
    done = run_python(PLAY_DAMAGED.replace("sys.argv[1]", repr(str(tmp_path))))
    assert done.returncode == 0, done.stderr
    said = [line.split() for line in done.stdout.splitlines()]
    assert len(said) == 8
    assert all(right == "True" for _, right in said)
    assert ["sound", "True"] in said


def test_presets_are_those_of_general_midi() -> None:
    """128 programs (General MIDI System Level 1, 1991, from memory) and a drum kit."""
    found = presets(GENERAL_MIDI)
    assert {(0, program) for program in range(128)} | {(128, 0)} <= found


def test_the_packages_own_soundfont_is_sound() -> None:
    read_info(PACKAGED)


def test_the_keys_of_a_preset_are_those_on_which_it_sounds() -> None:
    """Those of General MIDI's percussion (System Level 1, 1991, from memory) and some more."""
    assert set(range(35, 82)) <= keys(GENERAL_MIDI, 128, 0) < set(range(128))
    assert keys(GENERAL_MIDI, 3, 99) == frozenset()
