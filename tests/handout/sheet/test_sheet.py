"""The lesson sheet: its pages, its text and its data."""

import json
import re
import xml.etree.ElementTree as ET
from functools import cache
from itertools import combinations, pairwise
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner

import groove
from groove import library
from groove.cli import cli
from groove.commands import handouts
from groove.errors import GrooveError
from groove.form.readers import READERS
from groove.handout.chart.text import chart_text
from groove.handout.drawing.flow import FOOT, HEADING, MARGIN, SUBHEADING
from groove.handout.drawing.page import PAPERS, SMALLEST, Page, Text, ink_box
from groove.handout.output import numbered_names
from groove.handout.sheet import data as sheet_data_module
from groove.handout.sheet import files as sheet_files
from groove.handout.sheet.data import sheet_data, sheet_json
from groove.handout.sheet.files import write_sheet_files
from groove.handout.sheet.markdown import sheet_markdown
from groove.handout.sheet.neck_words import alike, hand_words, named, position_title, stops_words
from groove.handout.sheet.pages import sheet_pages
from groove.handout.sheet.sheet import Sheet, write_sheet
from groove.handout.sheet.words import entries, names_of, names_words, plan_rows, tones_line
from groove.lesson.guide import write_guide
from groove.lesson.request import INSTRUMENTS, STRINGED, Request
from groove.theory.chords import parse_chord
from groove.theory.symbols import symbol
from tests.lesson.test_guide import FORMS

PHRASE = "4f7 3f5 3f7 2f5"


@cache
def sheet(form: str = "twelve-bar", **asked: object) -> Sheet:
    return write_sheet(groove.read_form(form), Request(**asked))  # type: ignore[arg-type]


def texts(page: Page) -> list[Text]:
    return [mark for mark in page.marks if isinstance(mark, Text)]


def assert_apart(page: Page) -> None:
    boxes = [(mark, box) for mark in texts(page) if (box := ink_box(mark))]
    for (one, a), (other, b) in combinations(boxes, 2):
        assert not a.overlaps(b), f"{one.text!r} and {other.text!r}"


@pytest.mark.parametrize("form", FORMS)
def test_no_text_lies_on_another_and_all_stays_on_the_paper(form: str) -> None:
    for page in sheet_pages(sheet(form), PAPERS["a4"]):
        assert_apart(page)
        for mark in page.marks:
            box = ink_box(mark)
            if box:
                assert 5 < box.left <= box.right < page.paper.width - 5, mark
                assert 5 < box.top <= box.bottom < page.paper.height - 5, mark


@pytest.mark.parametrize(
    "asked",
    [
        {"instrument": "keyboard", "dots": "names"},
        {"instrument": "none"},
        {"reader": "Bb"},
        {"reader": "bass-clef", "left_handed": True},
        {"instrument": "ukulele", "dots": "fingers", "phrase": "C4 E4 G4"},
        {"instrument": "mandolin"},
        {"tuning": "drop-d", "position": 3, "phrase": PHRASE},
        {"phrase": "3f5:1/3 3f7:1/3 2f5:1/3 2f8:3/2 1f24:5/7 6f12:4", "dots": "names"},
        {"phrase": "3f5 3f7 2f5 2f8 " * 8, "left_handed": True},
        {"instrument": "keyboard", "phrase": "C4 Eb4 G4 C6"},
        {"instrument": "keyboard", "phrase": "C4 Eb4 G4 Bb4 " * 8},
    ],
)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_nothing_overlaps_for_other_instruments_and_papers(
    asked: dict[str, object], paper: str
) -> None:
    for page in sheet_pages(sheet("jazz-twelve-bar", **asked), PAPERS[paper]):
        assert_apart(page)


@pytest.mark.parametrize("form", FORMS)
def test_no_heading_stands_alone_at_the_foot(form: str) -> None:
    for page in sheet_pages(sheet(form, phrase=PHRASE), PAPERS["letter"])[1:]:
        set_ = [t for t in texts(page)[:-1] if t.text]
        lowest = max(set_, key=lambda t: t.y)
        assert not (lowest.face == "bold" and lowest.size in (HEADING, SUBHEADING)), lowest.text


def test_changing_choruses_are_said_on_pages_in_text_and_in_data() -> None:
    form = groove.read_form(
        "twelve-bar", key_cycle="fourths", tempo_step=6, choruses=12, turnaround=True
    )
    made = write_sheet(form)
    course = made.chart.course
    assert len(course) == 3
    pages = sheet_pages(made, PAPERS["a4"])
    assert_apart(pages[0])
    assert course[0] in " ".join(mark.text for mark in texts(pages[0]))
    assert sheet_markdown(made).count(course[0]) == 2
    assert sheet_data(made)["course"] == list(course)


@pytest.mark.parametrize("instrument", ["keyboard", "none"])
def test_phrase_without_strings_may_go_beyond_the_neck_of_a_guitar(instrument: str) -> None:
    made = sheet(instrument=instrument, phrase="C1 C7")
    assert "The phrase: C1 C7." in sheet_markdown(made)
    for page in sheet_pages(made, PAPERS["a4"]):
        assert_apart(page)


def test_command_and_library_know_the_same_files() -> None:
    assert handouts.SHEETS == sheet_files.KINDS


def test_no_type_is_smaller_than_can_be_read() -> None:
    for page in sheet_pages(sheet(phrase=PHRASE), PAPERS["a4"]):
        assert min(mark.size for mark in texts(page)) >= SMALLEST


def test_pages_are_numbered_and_named() -> None:
    pages = sheet_pages(sheet(), PAPERS["a4"])
    for number, page in enumerate(pages, 1):
        assert any(t.text == f"{number} of {len(pages)}" for t in texts(page))
        assert any(t.text == "Twelve-bar blues" for t in texts(page))


def test_pages_say_to_a_screen_reader_what_stands_on_them() -> None:
    words = "\n".join(page.words for page in sheet_pages(sheet(), PAPERS["a4"]))
    assert "C7 to F7" in words
    assert "Practice plan" in words


def test_markdown_has_every_part_once_in_teaching_order() -> None:
    text = sheet_markdown(sheet(phrase=PHRASE))
    parts = [line for line in text.splitlines() if line.startswith("## ")]
    assert parts == [
        "## The form", "## Scales for the whole form", "## Practice plan",
        "## C minor pentatonic in five positions",
        "## C blues in five positions", "## C major pentatonic in five positions",
        "## Chord by chord",
        "## All chords under one hand", "## Double stops", "## From chord to chord",
        "## The phrase", "## Each chord in five positions", "## Look after yourself",
    ]  # fmt: skip


@pytest.mark.parametrize("form", ["rhythm-changes", "minor-twelve-bar"])
def test_text_says_once_when_a_scale_works_and_points_there_from_later_chords(form: str) -> None:
    written = sheet(form)
    parts = re.split(
        r"^### ",
        sheet_markdown(written).split("## Chord by")[1].split("## All chords")[0],
        flags=re.M,
    )[1:]
    before: dict[tuple[str, str], str] = {}
    for chord, part in zip(written.guide.chords, parts, strict=True):
        lines = [line for line in part.splitlines() if line.strip()][2:]
        for choice in chord.choices[1:]:
            line = lines.pop(0)
            assert choice.title in line
            said = choice.words.replace(choice.goal or "-", "-")  # the goal is named beside it
            first = before.setdefault((choice.scale, said), part.split(" (")[0])
            if part.startswith(f"{first} ("):
                assert lines.pop(0).strip() == choice.words
            else:
                assert line.endswith(f"see {first})*")
        assert lines == []


def test_text_gives_the_frets_of_five_positions_string_by_string() -> None:
    written = sheet()
    text = sheet_markdown(written).split("## Each chord in five positions")[1].split("```")[1]
    head, *rows = text.strip("\n").splitlines()
    starts = [head.index(f"{number} · frets") for number in range(1, 6)]
    for string, row in enumerate(rows, 1):
        cells = [row[a:b].split() for a, b in pairwise([*starts, None])]
        assert cells == [
            sorted((str(d.fret) for d in p.dots if d.string == string), key=int)
            for p in written.on_neck[0].five
        ]


def test_every_field_of_the_json_stands_in_the_docstring() -> None:
    read = json.loads(sheet_json(sheet(phrase=PHRASE)))
    fields = {*read, *read["chords"][0], *read["scales"][0], *read["changes"][0]}
    documented = set(re.findall(r"[a-z_]+", sheet_data_module.__doc__ or ""))
    assert fields <= documented


def test_data_has_for_each_chord_tones_scales_and_positions() -> None:
    chord = sheet_data(sheet())["chords"][0]
    assert [tone["name"] for tone in chord["tones"]] == ["C", "E", "G", "Bb"]
    assert chord["scales"][0]["scale"] == "arpeggio"
    assert [p["number"] for p in chord["fretboard"]["positions"]] == [1, 2, 3, 4, 5]


@pytest.mark.parametrize("form", FORMS)
def test_dots_in_the_data_sound_the_tones_of_their_chord(form: str) -> None:
    data = sheet_data(sheet(form))
    strings = data["instrument"]["tuning"]["open_strings"]
    for chord in data["chords"]:
        tones = {note.pitch_class for note in parse_chord(chord["chord"]).notes}
        for dot in chord["fretboard"]["under_hand"]["dots"]:
            assert strings[-dot["string"]] + dot["fret"] == dot["pitch"]
            assert dot["pitch"] % 12 in tones


def test_sequence_in_the_data_fills_the_chorus() -> None:
    data = sheet_data(sheet("rhythm-changes"))
    assert sum(entry["bars"] for entry in data["sequence"]) == data["bars"]


def test_data_without_an_instrument_has_no_fretboard() -> None:
    data = sheet_data(sheet(reader="F"))
    assert data["instrument"] == {"name": "none", "tuning": None, "left_handed": False}
    assert {chord["fretboard"] for chord in data["chords"]} == {None}


def test_phrase_of_the_first_chord_is_moved_to_each_other() -> None:
    found = sheet("twelve-bar", phrase="G3 C4 E4").phrase
    assert found
    moved = {str(m.chord): [n.full_name for n in m.phrase] for m in found.moved}
    assert moved["F7"] == ["C4", "F4", "A4"]


def test_moved_phrase_keeps_to_the_key_where_the_chord_is_of_the_key() -> None:
    """Over the vi of G the second degree of the phrase's scale is F#, and no C# comes in."""
    found = sheet("i-v-vi-iv", phrase="G3 A3 B3 C4 D4 E4 F#4").phrase
    assert found
    moved = {str(m.chord): {n.name for n in m.phrase} for m in found.moved}
    assert moved["Em"] == {"E", "F#", "G", "A", "B", "C", "D"}


def test_moved_phrase_has_no_open_strings_where_the_fingering_has_none() -> None:
    form = groove.read_form("twelve-bar", key="A")
    found = write_sheet(form, Request(phrase=PHRASE)).phrase
    assert found
    placed = [moved.placement for moved in found.moved if moved.placement]
    assert len(placed) == 3
    assert all(place.fret for p in placed for place in p.places)


def test_phrase_in_a_blues_is_left_where_it_is_too_and_its_flat_sixth_over_the_five_marked() -> (
    None
):
    """C over E7 lies a half step over its fifth; common practice."""
    form = groove.read_form("twelve-bar", key="A")
    made = write_sheet(form, Request(phrase=PHRASE))
    assert made.phrase
    marked = {
        (str(moved.chord), note.name)
        for moved in (*made.phrase.moved, *made.phrase.left)
        for note, seat in zip(moved.phrase, moved.seats, strict=True)
        if seat.clash
    }
    assert marked == {("E7", "C")}
    left = {str(m.chord): [str(seat.degree) for seat in m.seats] for m in made.phrase.left}
    assert left == {"A7": ["1", "b3", "4", "5"], "D7": ["5", "b7", "1", "2"],
                    "E7": ["4", "b6", "b7", "1"]}  # fmt: skip
    assert "left where they are" in sheet_markdown(made)


@pytest.mark.parametrize("form", ["twelve-bar", "jazz-twelve-bar", "minor-twelve-bar"])
def test_blues_shows_its_scale_in_five_positions_with_the_blue_note_marked(form: str) -> None:
    made = sheet(form)
    (five,) = [places for choice, _, places in made.scales if choice.scale == "blues"]
    assert len(five) == 5
    blue = {dot.degree for place in five for dot in place.dots if dot.role == "blue"}
    assert blue == {"b5"}
    words = " ".join(mark.text for page in sheet_pages(made, PAPERS["a4"]) for mark in texts(page))
    assert "blue note" in words
    assert [drawn["scale"] for drawn in sheet_data(made)["other_scales"]] == ["blues"]


def test_names_on_a_drawn_scale_are_those_of_the_text() -> None:
    made = write_sheet(groove.read_form("twelve-bar", key="F"), Request(dots="names"))
    for choice, material, _ in made.scales:
        assert {tone.name for tone in material.tones} == {str(name) for name in choice.notes}


def test_keyboard_has_a_left_hand_for_each_chord_and_the_scales_of_the_key() -> None:
    made = sheet("minor-twelve-bar", instrument="keyboard")
    assert [hand.chord for hand in made.left_hands] == [c.chord for c in made.guide.chords]
    words = "\n".join(page.words for page in sheet_pages(made, PAPERS["a4"]))
    for hand in made.left_hands:
        assert f"{symbol(hand.chord)}, left hand" in words
        assert f"- {symbol(hand.chord)}: " in sheet_markdown(made)
    assert {"minor pentatonic", "blues"} <= {choice.scale for choice, *_ in made.scales}
    assert all(chord["left_hand"] for chord in sheet_data(made)["chords"])


def test_phrase_on_a_keyboard_is_drawn_over_each_chord() -> None:
    made = sheet("twelve-bar", instrument="keyboard", phrase="C4 Eb4 G4")
    words = "\n".join(page.words for page in sheet_pages(made, PAPERS["a4"]))
    assert "C7: C4 1, E♭4 ♭3, G4 5: C E♭ G" in words


@pytest.mark.parametrize("instrument", INSTRUMENTS)
def test_plan_speaks_of_the_instrument_that_the_sheet_is_for(instrument: str) -> None:
    text = sheet_markdown(sheet(instrument=instrument)).split("## Practice plan")[1]
    assert ("neck" in text) == (instrument in STRINGED)
    assert ("keys" in text) == (instrument == "keyboard")


@pytest.mark.parametrize("instrument", ["guitar", "bass", "ukulele"])
def test_double_stops_lie_under_the_hand_or_a_stretch_away(instrument: str) -> None:
    made = sheet("i-v-vi-iv", instrument=instrument)
    assert made.tuning
    for chord in made.on_neck:
        hand = chord.under_hand.fret
        frets = [place.fret for stop in chord.stops for place in stop.places]
        assert all(hand - 1 <= fret <= hand + made.tuning.reach for fret in frets)


def test_bass_has_tenths_and_the_sheet_names_only_the_intervals_it_shows() -> None:
    assert "thirds, sixths and tenths." in stops_words(sheet(instrument="bass"))
    assert "thirds and sixths." in stops_words(sheet(instrument="guitar"))


@pytest.mark.parametrize("position", [None, 5])
def test_words_on_the_hand_say_where_a_finger_stretches(position: int | None) -> None:
    made = sheet("twelve-bar", position=position)
    words = hand_words(made)
    hand = made.on_neck[0].under_hand.fret
    lowest = min(chord.under_hand.lowest for chord in made.on_neck)
    assert f"The hand stays at fret {hand}:" in words
    assert ("reaches back one fret" in words) == (0 < lowest < hand)


@pytest.mark.parametrize("form", ["twelve-bar", "rhythm-changes"])
def test_parts_stand_in_teaching_order_cautions_after_the_music(form: str) -> None:
    words = "\n".join(page.words for page in sheet_pages(sheet(form), PAPERS["a4"]))
    parts = (
        "Main scales", "Practice plan", "Scales for the whole form", "Chord by chord",
        "All chords under one hand",
    )  # fmt: skip
    for last in ("Each chord in five", "Look after yourself"):
        at = [words.index(part) for part in (*parts, last)]
        assert at == sorted(at)


each_layout = pytest.mark.parametrize(
    ("form", "instrument", "paper"),
    [(f, i, p) for f in FORMS for i in ("guitar", "keyboard") for p in ("a4", "letter")],
)


@cache
def laid_out(form: str, instrument: str, paper: str) -> tuple[Page, ...]:
    return sheet_pages(sheet(form, instrument=instrument), PAPERS[paper])


@each_layout
def test_cautions_stand_at_the_very_end_and_on_a4_take_no_page_of_their_own(
    form: str, instrument: str, paper: str
) -> None:
    *others, last = (page.words for page in laid_out(form, instrument, paper))
    before, cautions = last.split("Look after yourself ")
    assert before or paper == "letter"
    assert cautions == " ".join(sheet(form, instrument=instrument).guide.cautions)
    assert not any("Look after yourself" in words for words in others)


@each_layout
def test_only_the_last_page_is_less_than_seven_tenths_full(
    form: str, instrument: str, paper: str
) -> None:
    for page in laid_out(form, instrument, paper)[:-1]:
        foot = page.paper.height - FOOT
        boxes = [box for mark in page.marks if (box := ink_box(mark))]
        lowest = max(box.bottom for box in boxes if box.bottom < foot)
        assert lowest - MARGIN > 0.7 * (foot - MARGIN)


@each_layout
def test_chart_main_scales_and_plan_of_up_to_32_bars_stand_on_the_first_page(
    form: str, instrument: str, paper: str
) -> None:
    made = sheet(form, instrument=instrument)
    assert made.guide.form.bars <= 32
    first, second, *_ = laid_out(form, instrument, paper)
    assert first.words.startswith(chart_text(made.chart))
    assert "Main scales" in first.words
    assert "Free." in first.words
    assert second.words.startswith("Scales for the whole form")


@pytest.mark.parametrize("form", FORMS)
def test_no_step_of_the_plan_stands_alone_on_a_page(form: str) -> None:
    pages = sheet_pages(sheet(form), PAPERS["a4"])
    label = r"^(?:Chorus(?:es)? \d|[A-Z]\w+ time [A-Z])"
    steps = [len(re.findall(label, page.words, re.M)) for page in pages]
    assert sum(steps) >= 5
    assert 1 not in steps


@pytest.mark.parametrize(
    ("tempo", "choruses", "labels"),
    [
        (112, 3, ["Chorus 1", "Chorus 2", "Chorus 3"]),
        (160, 3, ["First time", "Second time", "Third time"]),
        (112, 14, ["Choruses 1–2", "Choruses 3–4", "Choruses 5–6"]),
    ],
)
def test_label_of_a_step_says_when_it_is_played(
    tempo: int, choruses: int, labels: list[str]
) -> None:
    made = write_guide(groove.read_form("twelve-bar", tempo=tempo, choruses=choruses))
    assert [label for _, label, _ in plan_rows(made)][:3] == labels


def test_notes_not_to_rest_on_stand_in_a_row_by_chord() -> None:
    form = groove.read_form("twelve-bar", key="C", chords="ii7 V7 Imaj7:2", turnaround=False)
    assert "Not to rest on: G7: C · Cmaj7: F." in sheet_markdown(write_sheet(form))


@pytest.mark.parametrize(
    ("form", "key", "said"),
    [
        ("jazz-twelve-bar", "Gb", "named letter by letter: B♭♭ is played as A."),
        ("minor-twelve-bar", "Ebm", "named letter by letter: B♭♭ is played as A."),
        ("twelve-bar", "C", ""),
    ],
)
def test_names_with_two_signs_are_explained_once(form: str, key: str, said: str) -> None:
    made = write_sheet(groove.read_form(form, key=key))
    assert names_words(made.guide).endswith(said)
    assert sheet_markdown(made).count("named letter by letter") == bool(said)


def test_keys_of_a_cycle_stand_in_a_table_on_pages_in_text_and_in_data() -> None:
    form = groove.read_form("twelve-bar", key="C", chords="ii7 V7 Imaj7:2", turnaround=False,
                            choruses=12, key_cycle="fourths")  # fmt: skip
    made = write_sheet(form)
    assert "- **F**: Gm7 (B♭ F)   C7 (E B♭)   Fmaj7 (A E) · F major pentatonic" in (
        sheet_markdown(made)
    )
    assert any("B♭: Cm7 (E♭ B♭)" in page.words for page in sheet_pages(made, PAPERS["a4"]))
    data = sheet_data(made)["keys"]
    assert [row["key"] for row in data[:3]] == ["C", "F", "Bb"]
    assert data[1]["chords"][0]["guide_tones"][0]["name"] == "Bb"


@pytest.mark.parametrize("form", ["twelve-bar", "rhythm-changes"])
@pytest.mark.parametrize("instrument", ["guitar", "keyboard"])
def test_meaning_of_the_shapes_stands_under_the_last_drawing_on_its_page(
    form: str, instrument: str
) -> None:
    for page in laid_out(form, instrument, "letter"):
        legends = [mark.y for mark in texts(page) if mark.text == "root"]
        drawings = [mark.y for mark in texts(page) if mark.face == "bold" and mark.text == "1"]
        assert all(any(0 < y - drawn < 60 for drawn in drawings) for y in legends)


def test_titles_of_positions_name_the_frets_that_are_drawn() -> None:
    for chord in sheet("rhythm-changes").on_neck:
        for position in chord.five:
            frets = [dot.fret for dot in position.dots]
            assert position_title(position) == (
                f"{position.number} · frets {min(frets)}–{max(frets)}"
            )


def test_text_for_the_left_hand_is_the_mirror() -> None:
    right, left = (sheet_markdown(sheet(left_handed=hand)) for hand in (False, True))
    assert "E  |-1--|----|----|-♭3-|" in right
    assert "|-♭3-|----|----|-1--| E" in left


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"reader": "Bf"}, "there are|did you mean"),
        ({"instrument": "guitr"}, "did you mean guitar"),
        ({"dots": "colours"}, "there are|did you mean"),
        ({"reader": "Bb", "instrument": "guitar"}, "concert pitch"),
        ({"instrument": "keyboard", "dots": "fingers"}, "names or degrees"),
        ({"instrument": "keyboard", "tuning": "drop-d"}, "stringed"),
        ({"instrument": "none", "position": 5}, "stringed"),
        ({"position": 40}, "position: 40"),
        ({"tuning": "drop-q"}, "did you mean"),
        ({"phrase": "9f1"}, "strings are 1 to 6"),
        ({"phrase": ""}, "notes"),
    ],
)
def test_wrong_request_is_one_line_that_says_what_is_allowed(
    asked: dict[str, object], says: str
) -> None:
    with pytest.raises(GrooveError, match=says) as caught:
        sheet(**asked)
    assert "\n" not in str(caught.value)


def test_files_of_all_kinds_are_written(tmp_path: Path) -> None:
    names = [tmp_path / f"sheet{kind}" for kind in (".pdf", ".svg", ".md", ".json")]
    written = write_sheet_files(sheet("i-v-vi-iv"), names)
    assert all(path.stat().st_size for path in written)
    pages = [path for path in written if path.suffix == ".svg"]
    assert [path.name for path in pages] == [f"sheet-{n}.svg" for n in range(1, len(pages) + 1)]
    assert all(ET.parse(path).getroot().tag.endswith("svg") for path in pages)


def test_shorter_sheet_names_the_pages_that_a_longer_one_left(tmp_path: Path) -> None:
    said: list[str] = []
    for name in ("sheet-7.svg", "sheet-12.svg", "sheet-x.svg", "other-9.svg"):
        (tmp_path / name).touch()
    write_sheet_files(sheet("one-chord-vamp"), [tmp_path / "sheet.svg"], say=said.append)
    (note,) = [line for line in said if "earlier" in line]
    assert note.startswith("note: sheet-7.svg, sheet-12.svg are not of this handout")
    assert (tmp_path / "sheet-7.svg").exists()


def test_ten_pages_and_more_sort_by_name() -> None:
    names = [path.name for path in numbered_names(Path("a.svg"), 11)]
    assert names == sorted(names)
    assert names[0] == "a-01.svg"


@pytest.mark.parametrize("kind", [".pdf", ".svg"])
def test_characters_that_cannot_be_printed_are_named(tmp_path: Path, kind: str) -> None:
    said: list[str] = []
    form = groove.read_form("one-chord-vamp", title="夜のバス, Ǎ")
    write_sheet_files(write_sheet(form), [tmp_path / f"a{kind}"], say=said.append)
    assert said == ["note: title: the typeface has no 夜 の バ ス; boxes are printed instead"]


@pytest.mark.parametrize("title", ["Twelve-bar blues", "夜のバス"])
def test_pdf_is_called_what_the_handout_is(tmp_path: Path, title: str) -> None:
    form = groove.read_form("one-chord-vamp", title=title)
    (path,) = write_sheet_files(write_sheet(form), [tmp_path / "a.pdf"])
    found = pypdfium2.PdfDocument(path).get_metadata_dict()["Title"]
    assert found == f"{title}, lesson sheet"


@pytest.mark.parametrize(
    ("asked", "reader", "instrument"),
    [
        ({"reader": "clarinet"}, "Bb", "none"),
        ({"reader": "alto-sax"}, "Eb", "none"),
        ({"reader": "horn"}, "F", "none"),
        ({"reader": "trombone"}, "bass-clef", "none"),
        ({"reader": "bass-clef"}, "bass-clef", "bass"),
        ({"reader": "piano"}, "concert", "keyboard"),
        ({"instrument": "piano"}, "concert", "keyboard"),
    ],
)
def test_players_may_be_named(asked: dict[str, str], reader: str, instrument: str) -> None:
    """How they are written: common practice."""
    made = sheet("one-chord-vamp", **asked)
    assert (made.guide.reader.name, made.instrument) == (reader, instrument)


def test_common_names_of_players_stand_for_readers_and_drawings_that_there_are() -> None:
    players = library.load("lesson", "players")
    assert set(players["for"].values()) <= set(READERS)
    assert set(players["instrument"].values()) <= set(INSTRUMENTS)


def test_pdf_opens_with_as_many_pages_as_were_laid_out(tmp_path: Path) -> None:
    made = sheet("i-v-vi-iv")
    (path,) = write_sheet_files(made, [tmp_path / "sheet.pdf"])
    assert len(pypdfium2.PdfDocument(path)) == len(sheet_pages(made, PAPERS["a4"]))


def test_same_form_gives_the_same_bytes(tmp_path: Path) -> None:
    first, second = (
        write_sheet_files(write_sheet(groove.read_form("twelve-bar")), [tmp_path / name])[0]
        for name in ("a.pdf", "b.pdf")
    )
    assert first.read_bytes() == second.read_bytes()


def test_wrong_file_kind_writes_nothing(tmp_path: Path) -> None:
    with pytest.raises(GrooveError, match=r"\.json"):
        write_sheet_files(sheet(), [tmp_path / "a.md", tmp_path / "a.doc"])
    assert list(tmp_path.iterdir()) == []


def test_command_prints_the_sheet_as_text_where_no_file_is_asked() -> None:
    result = CliRunner().invoke(cli, ["sheet", "twelve-bar", "--key", "A"])
    assert result.exit_code == 0
    assert result.stdout.startswith("# Twelve-bar blues\n")


def test_command_passes_every_option_on(tmp_path: Path) -> None:
    path = tmp_path / "sheet.json"
    arguments = ["--instrument", "bass", "--left-handed", "--position", "5", "--dots", "fingers"]
    phrase = ["--phrase", "A1 C2", "--tuning", "bass-5"]
    result = CliRunner().invoke(cli, ["sheet", "twelve-bar", "-o", str(path), *arguments, *phrase])
    assert result.exit_code == 0, result.output
    data = json.loads(path.read_text())
    assert data["instrument"]["left_handed"]
    assert data["instrument"]["tuning"]["title"] == "five-string bass"
    assert data["phrase"]["notes"][0]["name"] == "A1"


@pytest.mark.parametrize(
    ("chords", "line"),
    [
        ("I V/3 vi vi/b7 IV", "G root, B third in the bass, D fifth"),
        ("I I/b7 IV/3 iv6", "C root, E third, G fifth, B♭ in the bass"),
        ("I IV/5 V7 I", "F root, A third, C fifth in the bass"),
        ("I ii7/5 V7 I", "D root, F third, A fifth in the bass, C seventh"),
    ],
)
def test_note_in_the_bass_is_among_the_tones_of_a_slash_chord(chords: str, line: str) -> None:
    sheet = write_sheet(groove.read_form("twelve-bar", key="C", chords=chords))
    assert line in [tones_line(chord) for chord in sheet.guide.chords]


def test_data_have_the_note_in_the_bass() -> None:
    sheet = write_sheet(groove.read_form("twelve-bar", key="C", chords="I I/b7 IV/3 iv6"))
    assert [chord["bass"] for chord in sheet_data(sheet)["chords"]] == [None, "Bb", "A", None]


def test_scale_over_a_slash_chord_has_the_note_in_the_bass() -> None:
    """C major has no B♭ to play over a B♭ in the bass; common practice."""
    sheet = write_sheet(groove.read_form("twelve-bar", key="C", chords="I I/b7 IV/3 iv6"))
    entry = next(c for c in sheet.guide.chords if str(c.chord) == "C/Bb")
    assert "C mixolydian" in [choice.title for choice in entry.choices]
    assert "C major" not in [choice.title for choice in entry.choices]


def spoken_of(chords: str, key: str = "C") -> list[str]:
    made = write_sheet(groove.read_form("twelve-bar", key=key, chords=chords))
    return [names_of(entry) for entry in entries(made.guide.chords)]


def test_chords_on_one_root_with_one_answer_are_spoken_of_together() -> None:
    """Bb6 and Bbmaj7, or E7 and E7b9 in A minor, are played alike; common practice."""
    assert spoken_of("Imaj7 ii7 V7 I6") == ["Cmaj7, C6", "Dm7", "G7"]
    assert spoken_of("i7 V7 i7 V7b9", "Am") == ["Am7", "E7, E7♭9"]


def test_chord_over_another_bass_is_spoken_of_and_drawn_with_its_like() -> None:
    assert spoken_of("i7 i7/b7 iv7 V7", "Am") == ["Am7, Am7/G", "Dm7", "E7"]
    made = write_sheet(groove.read_form("twelve-bar", key="Am", chords="i7 i7/b7 iv7 V7"))
    assert [name for name, _ in named(made)] == ["Am7, Am7/G", "Dm7", "E7"]


def test_chords_with_other_answers_have_entries_of_their_own() -> None:
    """G7b9 asks for a flat ninth that G7 has not; common practice."""
    assert spoken_of("Imaj7 V7 Imaj7 V7b9") == ["Cmaj7", "G7", "G7♭9"]


def test_every_chord_is_spoken_of_once_with_all_its_tones() -> None:
    for form in FORMS:
        guide = sheet(form).guide
        together = [chord for entry in entries(guide.chords) for chord in entry]
        assert sorted(map(str, together)) == sorted(map(str, guide.chords))
        text = sheet_markdown(sheet(form))
        assert all(tones_line(chord) in text for chord in guide.chords)


def test_positions_of_many_chords_are_drawn_once_for_each_quality_with_the_frets_of_all() -> None:
    made = sheet("rhythm-changes")
    groups = [[name for name, _ in group] for group in alike(made)]
    assert groups == [["B♭6", "E♭6"], ["G7", "F7", "B♭7", "D7", "C7"], ["Cm7", "Fm7"], ["E°7"]]
    words = " ".join(page.words for page in sheet_pages(made, PAPERS["a4"]))
    for name, chord in (pair for group in alike(made) for pair in group[1:]):
        places = ", ".join(position_title(position) for position in chord.five)
        assert f"{name}, the shapes of " in words
        assert places in words


def test_sheet_of_a_dense_form_is_no_book() -> None:
    assert len(sheet_pages(sheet("rhythm-changes"), PAPERS["a4"])) <= 9
