"""Every wrong input ends in one helpful line, and nothing is written."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.command_line import Result, call, snapshot, without_privileges

DONE_BEFORE = ("twelve-bar-blues_C_112.mid", "twelve-bar-blues_C_112.wav", "bad_C_112.mid")

# The fault, the content of bad.toml, and words that the line must hold.
FORMS: list[tuple[str, str | bytes, str]] = [
    # not a form at all
    ("an empty file", "", "bad.toml | empty | chords ="),
    ("only white space", " \n\t\n", "bad.toml | empty"),
    ("only a comment", "# later\n", "bad.toml | no chords"),
    ("a binary file", bytes(range(256)), "bad.toml | UTF-8"),
    ("text in Latin-1", 'title = "Caf\u00e9"'.encode("latin-1"), "bad.toml | UTF-8"),
    ("text in UTF-16", 'chords = "I7"'.encode("utf-16"), "bad.toml | UTF-8"),
    ("a MIDI file", b"MThd\0\0\0\6\0\1\0\2\3\xc0MTrk", "bad.toml"),
    ("null characters", 'chords = "I7\0"', "bad.toml | line 1"),
    ("a chord line without TOML", "I7:4 IV7:2 I7:2", "bad.toml | line 1"),
    ("JSON", '{"chords": "I7"}', "bad.toml | line 1"),
    ("an open quote", 'key = "G\nchords = "I7"', "bad.toml | line 1"),
    ("an unquoted value", 'chords = "I7"\nkey = G', "bad.toml | line 2"),
    ("a field given twice", 'key = "G"\nkey = "A"\nchords = "I7"', "bad.toml | line 2"),
    ("an equals sign missing", 'chords "I7"', "bad.toml | line 1"),
    ("an escape that is none", r'title = "\q"', "bad.toml | line 1"),
    ("half of a surrogate pair", r'title = "\ud800"', "bad.toml | line 1"),
    ("brackets without end", "chords = " + "[" * 5000, "bad.toml | nested too deeply"),
    ("tables within tables", "chords = " + "{a=" * 3000, "bad.toml | nested too deeply"),
    ("a dotted name without end", "a." * 40_000 + "a = 1", "bad.toml | nested too deeply"),
    ("a header without end", "[" + "a." * 40_000 + "a]", "bad.toml | nested too deeply"),
    ("a quoted name without end", '"a" . ' * 15_000 + "a = 1", "bad.toml | nested too deeply"),
    ("a file too large", "#" * 200_000, "bad.toml | 100,000 bytes"),
    # fields
    ("an unknown field", 'chords = "I7"\ntempos = 90', "bad.toml, line 2 | 'tempos' | tempo?"),
    ("an unknown field unlike any", "zzz = 1", "bad.toml, line 1 | 'zzz' | there are | chords"),
    ("capitals in a field", 'Chords = "I7"', "bad.toml, line 1 | did you mean chords?"),
    ("escapes in a field's name", r'"\u001b[31m" = 1', "bad.toml | unknown field"),
    ("a field's name without end", "k" * 10_000 + " = 1", "bad.toml, line 1 | unknown field"),
    ("ten thousand unknown fields", "\n".join(f"k{n}=1" for n in range(10_000)), "k0 | check"),
    ("fields in a table", '[form]\nchords = "I7"', "bad.toml | unknown field 'form'"),
    # chords
    ("a pattern of another metre", 'chords="I"\nmeter="6/8"\ndrums="shuffle"', "six-eight"),
    ("a key to be named that is none", 'chords = "Cbb Gbb"', 'line 1 | key = "C"'),
    ("no chords", 'key = "G"', "bad.toml | no chords | I7:4"),
    ("empty chords", 'chords = ""', "line 1, chords | no chords | I7:4"),
    ("a chord that can't be read", 'chords = "I7 H7"', "line 1, chords | chord 2 of 2 | 'H7'"),
    ("a quality that is none", 'key = "A"\nchords = "A7 Axyz"', "line 2 | 2 of 2 | Axyz"),
    ("a slash to nowhere", 'key = "A"\nchords = "A7/H"', "line 2, chords | A7/H"),
    ("chords off the beat", 'chords = "I7:1/3 IV7:2/3"', "line 1, chords | bar 1 | 1/3 of | 4/4"),
    ("five symbols in 4/4", 'key = "C"\nchords = "| C F G C F |"', "bar 1 | as in C7:1/2 F7:1/4"),
    ("five numerals in 4/4", 'chords = "| I IV V I IV |"', "bar 1 | as in I:1/2 IV:1/4"),
    ("no bars", 'chords = "I7:0"', "'I7:0' | whole, half or quarter"),
    ("bars below zero", 'chords = "I7:-2"', "'-2' | whole, half or quarter"),
    ("bars by zero", 'chords = "I7:1/0"', "'1/0' | whole, half or quarter"),
    ("bars in words", 'chords = "I7:two"', "'two' | whole, half or quarter"),
    ("a colon and no bars", 'chords = "I7: IV7"', "chord 1 of 2 | 'I7:'"),
    ("a colon and no chord", 'chords = ":4"', "chord 1 of 1 | ':4'"),
    ("two colons", 'chords = "I7:1:2"', "chord 1 of 1 | '1:2'"),
    ("three chords in a bar", 'chords = "| I7 | IV7 V7 I7 |"', "bar 2 | 3 chords | 1/4"),
    ("a bar with too much", 'chords = "I7 | IV7:2 | I7"', "bar 2 | one bar"),
    ("a repeat of nothing", 'chords = "% | I7"', "bar 1 | nothing before it"),
    ("a German key", 'key = "H"\nchords = "I7"', "line 1, key | German H is B"),
    ("a German chord", 'key = "Em"\nchords = "Em7 H7"', "chord 2 | 'H7' | German H is B"),
    ("commas between chords", 'chords = "I7:4, IV7:2"', "chord 1 | comma"),
    ("text without quotes", 'key = G\nchords = "I7"', "line 1 | straight quotes"),
    ("a yes for true", 'turnaround = "yes"\nchords = "I7:4"', "line 1 | 'yes' | true"),
    ("bars that do not add up", 'chords = "I7:1/2 IV7:1/4"', "3/4 bars | whole bars"),
    ("two notations", 'key = "A"\nchords = "I7 D7"', "line 2 | I7 | D7 | one way"),
    ("symbols without a key", 'chords = "A7 D7"', "line 1, chords | need the key"),
    ("a thousand bars and one", 'chords = "I7:1001"', "1001 bars | 1,000"),
    ("bars past counting", f'chords = "I7:{"9" * 400}"', "chord 1 of 1"),
    ("sixty thousand chords", f'chords = "{"I " * 45_000}"', "line 1, chords | 1,000"),
    ("chords as a list", 'chords = ["I7", "IV7"]', "line 1, chords | no text | in quotes"),
    ("chords as a number", "chords = 7", "line 1, chords | '7' | in quotes"),
    ("escapes in a chord", r'chords = "\u001b[31mI7"', "line 1, chords | 1 of 1"),
    # other values
    ("a tempo of ten thousand", 'chords = "I7"\ntempo = 10000', "line 2 | 10000 | 30 to 320"),
    ("a tempo of zero", 'chords = "I7"\ntempo = 0', "line 2, tempo | '0' | 30 to 320"),
    ("a tempo that is no number", 'tempo = nan\nchords = "I7"', "line 1, tempo | nan | 30 to 320"),
    ("a tempo without end", 'tempo = inf\nchords = "I7"', "line 1, tempo | inf | 30 to 320"),
    ("a tempo past floats", f"tempo = {'9' * 400}", "line 1, tempo | 999... | 30 to 320"),
    ("a tempo past integers", f"tempo = {'9' * 5000}", "bad.toml | thousands of digits"),
    ("a tempo past decimals", f"tempo = 0x{'f' * 9000}", "line 1, tempo | huge | 30 to 320"),
    ("a tempo of yes", "tempo = true", "line 1, tempo | True | 30 to 320"),
    ("a tempo in words", 'tempo = "fast"', "line 1, tempo | 'fast' | 30 to 320"),
    ("a tempo as a date", "tempo = 2024-01-01", "line 1, tempo | no number | 30 to 320"),
    ("a tempo as a deep table", "tempo." + "a." * 190 + "a = 1", "tempo | no number"),
    ("no choruses", 'choruses = 0\nchords = "I7"', "line 1, choruses | '0' | 1 to 100"),
    ("half a chorus", 'choruses = 1.5\nchords = "I7"', "line 1, choruses | '1.5' | whole number"),
    ("a hundred and one choruses", "choruses = 101", "line 1, choruses | '101' | 1 to 100"),
    ("an hour and more", 'choruses = 100\nchords = "I7:100"', "minutes; at most 60"),
    ("a count-in below zero", "count_in = -1", "line 1, count_in | '-1' | 0 to 8"),
    ("a seed below zero", "seed = -1", "line 1, seed | '-1' | 0"),
    ("a seed past counting", f"seed = 0x{'f' * 9000}", "line 1, seed | huge | 0"),
    ("a key that is none", 'key = "H"', "line 1, key | 'H' | tonic"),
    ("a key of eight sharps", 'key = "G#"\nchords = "I7"', "line 1, key | 8 sharps | Ab"),
    ("a key as a number", "key = 5", "line 1, key | '5' | in quotes"),
    ("a meter of eleven", 'meter = "11/8"', "line 1, meter | '11/8' | 7/8 | groups"),
    ("an unknown feel", 'feel = "swung"', "line 1, feel | 'swung' | swing?"),
    ("a swing ratio of nine", "swing_ratio = 9.0", "line 1, swing_ratio | '9.0' | 1 to 4"),
    ("straight and a ratio", 'chords="I"\nfeel="straight"\nswing_ratio=2', "line 3 | straight"),
    ("an unknown ending", 'ending = "bang"', "line 1, ending | 'bang' | hit"),
    ("an unknown pattern", 'drums = "rhumba"', "line 1, drums | 'rhumba' | rumba?"),
    ("an unknown bass", 'bass = "walkin"', "line 1, bass | 'walkin' | walking?"),
    ("an unknown comping", 'comping = "zzz"', "line 1, comping | 'zzz' | there are"),
    ("a path for a pattern", 'drums = "../bass/tumbao"', "line 1, drums | bass/tumbao"),
    ("a pattern as a list", 'drums = ["rumba"]', "line 1, drums | no text"),
    ("a pattern of other metre", 'meter="3/4"\ndrums="rumba"\nchords="I"', "line 2 | 4/4 | fit"),
    ("triplets made straight", 'chords="I"\ndrums="shuffle"\nfeel="straight"', "straight | fit"),
    ("shuffle in twelve eight", 'chords="I"\nmeter="12/8"\nfeel="shuffle"', "line 3, feel | out"),
    ("yes in quotes", 'quick_change = "true"', "line 1, quick_change | 'true' | without quotes"),
    ("a quick change from V", 'chords="V7:2"\nquick_change=true', "line 2, quick_change | bar 1"),
    ("a turnaround of a number", "turnaround = 2", "line 1, turnaround | '2' | I7 V7"),
    ("a turnaround too long", 'chords="I:9"\nturnaround="I IV V"', "line 2, turnaround | two"),
    ("all turnaround", 'chords="I"\nturnaround=true', "line 2, turnaround | leave it out"),
    ("a turnaround in symbols", 'chords="I:9"\nturnaround="G7"', "line 2, turnaround | mixed"),
    ("an empty title", 'title = ""', "line 1, title | 1 to 120"),
    ("a title without end", f'title = "{"x" * 10_000}"', "line 1, title | xxx... | 120"),
    ("escapes in a title", r'title = "\u001b[31mRed"', "line 1, title | '?[31mRed'"),
    ("a title of two lines", r'title = "Up\nDown"', "line 1, title | 'Up?Down' | one line"),
    ("a title turned round", r'title = "\u202eUp"', "line 1, title | '?Up'"),
    # sections
    ("sections as text", 'sections = "A"', "line 1, sections | [[sections]]"),
    ("no sections", "sections = []", "line 1, sections | [[sections]]"),
    ("a section without a name", '[[sections]]\nchords = "I7"', "line 1, sections | section 1"),
    ("a section never heard", '[[sections]]\nname = "B"', "line 1, sections | section B | chords"),
    (
        "the second section at fault",
        '[[sections]]\nname="A"\nchords="I"\n[[sections]]\nname="B"\nchords="H"',
        "line 6, chords | section 2 | 'H'",
    ),
    (
        "a section's own field and not another one's",
        '[[sections]]\nname="A"\nchords="I"\n[[sections]]\nchords="I7"\nname=""',
        "line 6, name | section 2",
    ),
    (
        "an unknown field in a section",
        '[[sections]]\nname="A"\nchord="I"',
        "line 3, chord | 'chord' | chords?",
    ),
    (
        "sections and chords",
        'chords="I"\n[[sections]]\nname="A"\nchords="I"',
        "bad.toml | sections | leave chords out",
    ),
    (
        "sections past a thousand",
        '[[sections]]\nname="A"\nchords="I"\n' * 2_000,
        "bad.toml, sections | 2,000 sections | 1,000",
    ),
]  # fmt: skip

# The fault, the arguments after ``groove make``, and words that the line must hold.
ARGUMENTS: list[tuple[str, list[str], str]] = [
    ("no form", [], "FORM is missing | groove forms"),
    ("a near name of a form", ["twelve-bars"], "'twelve-bars' | did you mean twelve-bar?"),
    ("a name unlike any form", ["zzz"], "'zzz' | there are | twelve-bar"),
    ("an empty name", [""], "form '' | there are"),
    ("two forms", ["twelve-bar", "eight-bar"], "eight-bar"),
    ("an unknown option", ["twelve-bar", "--tempos", "90"], "--tempos | --tempo"),
    ("an option without value", ["twelve-bar", "--key"], "--key | argument"),
    ("escapes in an option", ["twelve-bar", "--\x1b[31m"], "option | x1b[31m"),
    ("stray bytes in an option", ["twelve-bar", "--key", "G\udcff"], "--key | G"),
    ("the form after --turnaround", ["--turnaround", "twelve-bar"], "'twelve-bar' | FORM first"),
    ("a tempo of ten thousand", ["twelve-bar", "--tempo", "10000"], "--tempo | 10000 | 30 to 320"),
    ("a tempo below zero", ["twelve-bar", "--tempo", "-5"], "--tempo | '-5' | 30 to 320"),
    ("a tempo of nan", ["twelve-bar", "--tempo", "nan"], "--tempo | 'nan' | 30 to 320"),
    ("a tempo with exponent", ["twelve-bar", "--tempo", "1e2"], "--tempo | '1e2' | 30 to 320"),
    ("no choruses", ["twelve-bar", "--choruses", "0"], "--choruses | '0' | 1 to 100"),
    ("half a chorus", ["twelve-bar", "--choruses", "1.5"], "--choruses | '1.5' | whole"),
    ("a count-in of nine", ["twelve-bar", "--count-in", "9"], "--count-in | '9' | 0 to 8"),
    ("a seed too large", ["twelve-bar", "--seed", str(2**63)], "--seed | whole number"),
    ("a key that is none", ["twelve-bar", "--key", "H"], "--key | 'H' | tonic"),
    ("a meter of eleven", ["twelve-bar", "--meter", "11/8"], "--meter | '11/8' | 7/8"),
    ("an unknown feel", ["twelve-bar", "--feel", "swung"], "--feel | 'swung' | swing?"),
    ("a near name of a pattern", ["twelve-bar", "--drums", "rhumba"], "--drums | rumba?"),
    ("an unknown ending", ["twelve-bar", "--ending", "bang"], "--ending | 'bang' | hit"),
    ("a step of nothing", ["twelve-bar", "--tempo-step", ""], "--tempo-step | no number"),
    ("a step beyond all", ["twelve-bar", "--tempo-step", "101"], "--tempo-step | -100 to 100"),
    ("a ladder too high", ["twelve-bar", "--tempo", "300", "--tempo-step", "10.5"],
     "--tempo-step | chorus 3 | 321 | 30 to 320"),
    ("a ladder too low", ["twelve-bar", "--tempo", "40", "--tempo-step", "-6"],
     "--tempo-step | chorus 3 | 28 | 30 to 320"),
    ("a ladder in a loop", ["twelve-bar", "--tempo-step", "4", "--ending", "loop"],
     "--tempo-step | loop | hit or ring"),
    ("a cycle in a loop", ["twelve-bar", "--key-cycle", "up", "--ending", "loop"],
     "--key-cycle | loop | hit or ring"),
    ("an unknown cycle", ["twelve-bar", "--key-cycle", "forths"], "--key-cycle | fourths?"),
    ("an A too low", ["twelve-bar", "--a4", "414.9"], "--a4 | '414.9' | 415 to 466"),
    ("an A that is no number", ["twelve-bar", "--a4", "A"], "--a4 | 'A' | 415 to 466"),
    ("a ladder down to an hour", ["twelve-bar", "--choruses", "100", "--tempo", "130",
     "--tempo-step", "-1"], "--choruses | at most 60"),
    ("chords that can't be read", ["twelve-bar", "--chords", "I7 H7"], "--chords | 'H7' | like"),
    ("empty chords", ["twelve-bar", "--chords", ""], "--chords | no chords"),
    ("a title of nothing", ["twelve-bar", "--title", " "], "--title | 1 to 120"),
    ("escapes in a title", ["twelve-bar", "--title", "\x1b]0;x\x07"], "--title | '?]0;x?'"),
    ("the wrong metre", ["twelve-bar", "--meter", "3/4", "--drums", "rumba"], "4/4 | fit"),
    ("a turnaround of rubbish", ["twelve-bar", "--turnaround", "XX"], "--turnaround | 'XX'"),
    ("an unknown kind of audio", ["twelve-bar", "--audio", "wave"], "'wave' | did you mean wav?"),
    ("an unknown kind of plot", ["twelve-bar", "--plot", "a.gif"], "--plot | 'a.gif' | .svg"),
]  # fmt: skip


@pytest.fixture(params=["no folder yet", "results from before"])
def out(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The output folder, named ``out`` in the folder that the test works in."""
    monkeypatch.chdir(tmp_path)
    if request.param == "results from before":
        Path("out").mkdir()
        for name in DONE_BEFORE:
            Path("out", name).write_bytes(b"from before")
    return tmp_path / "out"


def assert_one_line(result: Result, code: int, words: str) -> None:
    """One line on standard error that holds the words, which `` | `` parts, and nothing else."""
    assert result.out == ""
    assert result.err.endswith("\n")
    line = result.err.removesuffix("\n")
    assert line.isprintable(), line
    assert len(line) < 700
    missing = [word for word in words.split(" | ") if word not in line]
    assert (result.code, missing) == (code, []), line


def rows(table: list[tuple[str, object, str]]) -> pytest.MarkDecorator:
    return pytest.mark.parametrize(
        ("bad", "words"), [row[1:] for row in table], ids=[row[0] for row in table]
    )


@rows(FORMS)  # type: ignore[arg-type]
def test_bad_form_ends_in_one_line_and_writes_nothing(
    bad: str | bytes, words: str, out: Path
) -> None:
    Path("bad.toml").write_bytes(bad if isinstance(bad, bytes) else bad.encode())
    before = snapshot(out.parent)
    assert_one_line(call("make", "bad.toml", "-o", "out"), 1, words)
    assert snapshot(out.parent) == before


@rows(ARGUMENTS)  # type: ignore[arg-type]
def test_bad_argument_ends_in_one_line_and_writes_nothing(
    bad: list[str], words: str, out: Path
) -> None:
    before = snapshot(out.parent)
    assert_one_line(call("make", "-o", "out", *bad), 2, words)
    assert snapshot(out.parent) == before


def _loop() -> None:
    Path("loop.toml").symlink_to("loop.toml")


def _in_place_of_result() -> None:
    Path("out/twelve-bar-blues_C_112.mid").unlink(missing_ok=True)
    Path("out/twelve-bar-blues_C_112.mid").mkdir(parents=True)


LONG = "x" * 10_000
TONE = b"RIFF\x24\0\0\0WAVEfmt " + bytes(28)

# The fault, its set-up, arguments, standard input, exit code, words of the line.
SURROUNDINGS: list[tuple[str, Callable[[], object], str, bytes, int, str]] = [
    ("a missing file", lambda: None, "none.toml", b"", 1, "none.toml | No such file"),
    ("a folder as form", lambda: Path("dir").mkdir(), "./dir", b"", 1, "dir | a folder"),
    ("a symlink to itself", _loop, "loop.toml", b"", 1, "loop.toml | symbolic links"),
    ("a silent named pipe", lambda: os.mkfifo("pipe"), "./pipe", b"", 1, "pipe | empty"),
    ("zeros without end", lambda: None, "/dev/zero", b"", 1, "/dev/zero | 100,000 bytes"),
    ("a form's name without end", lambda: None, LONG, b"", 1, "File name too long"),
    ("stray bytes in a form's name", lambda: None, "a\udcff.toml", b"", 1, "No such file"),
    ("escapes in a form's name", lambda: None, "\x1b[31m.toml", b"", 1, "?[31m.toml"),
    ("nothing on standard input", lambda: None, "-", b"", 1, "standard input | empty"),
    ("bad bytes on standard input", lambda: None, "-", b"\xff\xfe\0", 1, "standard input | UTF-8"),
    ("zeros on standard input", lambda: None, "-", bytes(200_000), 1, "standard input | 100,000"),
    ("a bad form on standard input", lambda: None, "-", b"tempo=9", 1, "standard input, line 1"),
    ("an output folder that is a file", lambda: Path("file").touch(), "twelve-bar -o file", b"", 1,
     "file | folder is needed"),
    ("an output folder in a file", lambda: Path("file").touch(), "twelve-bar -o file/a/b", b"", 1,
     "file/a/b | Not a directory"),
    ("an output folder's name too long", lambda: None, f"twelve-bar -o new/{LONG}", b"", 1,
     "File name too long"),
    ("an output folder where none can be", lambda: None, "twelve-bar -o /proc/none/a", b"", 1,
     "/proc/none/a | can't be written"),
    ("a folder in place of the result", _in_place_of_result, "twelve-bar -o out", b"", 1,
     "out/twelve-bar-blues_C_112.mid | a folder stands"),
    ("a missing soundfont", lambda: None, "twelve-bar --soundfont no.sf2", b"", 1,
     "soundfont no.sf2 | no such file"),
    ("a soundfont of nothing", lambda: Path("no.sf2").touch(),
     "twelve-bar -o out --audio wav --soundfont no.sf2", b"", 1, "soundfont no.sf2 | empty"),
    ("a form for a soundfont", lambda: Path("no.sf2").write_text('chords = "I7"'),
     "twelve-bar -o out --audio wav --soundfont no.sf2", b"", 1, "no.sf2 | not a soundfont"),
    ("a sound for a soundfont", lambda: Path("no.sf2").write_bytes(TONE),
     "twelve-bar -o out --audio wav --soundfont no.sf2", b"", 1, "no.sf2 | a WAV sound"),
    ("a folder for a soundfont", lambda: Path("no.sf2").mkdir(),
     "twelve-bar -o out --audio wav --soundfont no.sf2", b"", 1, "no.sf2 | folder"),
    ("a device for a soundfont", lambda: None,
     "twelve-bar -o out --audio wav --soundfont /dev/zero", b"", 1, "not an ordinary file"),
    ("an empty soundfont's name", lambda: None, "twelve-bar --soundfont ''", b"", 1, "soundfont"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("set_up", "arguments", "stdin", "code", "words"),
    [row[1:] for row in SURROUNDINGS],
    ids=[row[0] for row in SURROUNDINGS],
)
def test_bad_surroundings_end_in_one_line_and_write_nothing(
    set_up: Callable[[], object], arguments: str, stdin: bytes, code: int, words: str, out: Path
) -> None:
    set_up()
    before = snapshot(out.parent)
    given = [word.strip("'") for word in arguments.split(" ")]
    assert_one_line(call("make", *given, stdin=stdin), code, words)
    assert snapshot(out.parent) == before


def test_null_character_in_a_form_name_is_an_error_of_the_form() -> None:
    import groove

    with pytest.raises(groove.FormError, match="null character"):
        groove.read_form("a\0b")


@pytest.mark.parametrize(
    ("arguments", "locked", "words"),
    [
        (["form.toml"], "form.toml", "form.toml | Permission denied"),
        (["-", "-o", "shut"], "shut", "shut | can't be written | Permission denied"),
        (["-", "-o", "shut/new/folder"], "shut", "shut/new/folder | Permission denied"),
        (["-", "-o", "open", "--soundfont", "my.sf2"], "my.sf2", "my.sf2 | no permission"),
    ],
    ids=["form", "output folder", "folder above", "soundfont"],
)
def test_what_is_locked_away_ends_in_one_line(
    arguments: list[str], locked: str, words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    tmp_path.chmod(0o755)
    call("make", "-", "-o", "warm-up", stdin=b'chords = "I7:4"')  # all that is imported late
    Path("form.toml").write_text('chords = "I7:4"')
    Path("my.sf2").touch()
    Path("shut").mkdir()
    Path("open").mkdir()
    Path("open").chmod(0o777)
    Path(locked).chmod(0)
    there = [path for path in tmp_path.rglob("*") if path.name != "open"]  # written to on trial
    before = {path: path.lstat().st_mtime_ns for path in there}
    with without_privileges():
        result = call("make", *arguments, stdin=b'chords = "I7:4"')
    assert_one_line(result, 1, words)
    assert {path: path.lstat().st_mtime_ns for path in there} == before
    assert sorted(tmp_path.rglob("*")) == sorted([*there, tmp_path / "open"])
    Path(locked).chmod(0o700)


def test_check_lists_every_problem_each_on_a_line(tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text('tempo = 1\nkey = "H"\nchords = "H"\nfell = 2\n')
    lines = call("check", str(tmp_path / "bad.toml")).err.splitlines()
    assert [line.split(", ")[1] for line in lines] == ["line 1", "line 2", "line 3", "line 4"]
