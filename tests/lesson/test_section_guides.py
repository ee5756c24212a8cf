"""The guide to a form section by section."""

from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import given, settings

import groove
from groove.form.harmony import home_words
from groove.form.model import Form
from groove.form.readers import READERS
from groove.form.unroll import unroll
from groove.handout.sheet.words import entries, said_once
from groove.lesson.form_scales import Choice
from groove.lesson.guide import Guide, write_guide
from groove.lesson.how_built import built
from groove.lesson.section_guides import SectionGuide
from groove.theory.functions import within
from groove.theory.pitch import NoteName
from groove.theory.scales import scale_notes
from groove.theory.symbols import symbol
from tests.examples import examples
from tests.form.road_material import EXAMPLES, arranged, example, forms


def guide_to(name: str, reader: str = "concert") -> Guide:
    return write_guide(example(name).form, READERS[reader])


def section_of(guide: Guide, name: str) -> SectionGuide:
    return next(section for section in guide.sections if section.name == name)


def names(chords: Sequence[object]) -> str:
    return " ".join(str(chord) for chord in chords)


def test_section_is_read_in_its_own_key() -> None:
    """A vamp of i and IV in minor is dorian, and its bridge is in F: common practice."""
    made = guide_to("modal-vamp")
    keys = {section.name: home_words(section.harmony) for section in made.sections}
    assert keys["Vamp"] == "D dorian"
    assert keys["Bridge"] == "F major"
    numerals = {str(e.chord): e.numeral for e in section_of(made, "Bridge").chords}
    assert numerals["Bbmaj7"] == "IVmaj7"


def test_short_section_is_heard_as_a_part_of_the_form() -> None:
    """Two bars of I and IV are no vamp: common practice."""
    made = guide_to("pop-song")
    assert section_of(made, "Intro").harmony == made.harmony
    assert [e.place for e in made.chords if str(e.chord) == "D"] == [""]


def test_time_bars_with_the_same_chords_are_not_told_again() -> None:
    assert section_of(guide_to("pop-song"), "Verse").endings == ()


def test_chord_of_two_keys_is_told_of_in_both() -> None:
    places = [(e.numeral, e.place) for e in guide_to("modal-vamp").chords if str(e.chord) == "Dm9"]
    assert places[0] == ("i9", "Vamp")
    assert ("vi9", "Bridge") in places


def test_later_time_bars_are_told_apart() -> None:
    section = section_of(guide_to("latin-swing-aaba"), "A")
    assert names(section.sequence) == "Fmaj7 Gm7 C7 Am7 D7b9 Gm7 C7"
    assert [names(chords) for chords in section.endings] == ["Gm7 C7 F6"]


def test_changes_lead_on_to_the_sections_that_follow() -> None:
    made = guide_to("latin-swing-aaba")
    seams = {(str(c.change.before), str(c.change.after)): c.onward for c in made.changes}
    assert seams["F6", "Cm7"] == "B"
    assert seams["C7alt", "Fmaj7"] == "A"
    assert seams["C7", "Am7"] == ""  # inside A


def test_sections_name_the_lines_that_play_them() -> None:
    made = guide_to("latin-swing-aaba")
    assert section_of(made, "Coda").played_in == ("out",)
    improvised = [section.name for section in made.sections if section.improvised]
    assert improvised == ["A", "B"]
    assert [str(n) for n in section_of(made, "Intro").pedals] == ["C"]


def test_later_keys_of_the_road_have_their_lines() -> None:
    rows = {row.key: row.lines for row in guide_to("stop-time-blues").others}
    assert list(rows) == ["B♭", "C"]
    assert rows["C"] == ("shout", "out")


def test_scale_of_one_section_is_for_its_chords_alone() -> None:
    over = {choice.title: names(choice.over) for choice in guide_to("modal-vamp").choices}
    assert over["F major pentatonic"] == names(
        [entry.chord for entry in section_of(guide_to("modal-vamp"), "Bridge").chords]
    )
    over = {choice.title: choice.over for choice in guide_to("latin-swing-aaba").choices}
    assert over["F major pentatonic"] == ()


def test_lines_say_what_is_played_how_often_and_how() -> None:
    latin = {line.name: line.words for line in guide_to("latin-swing-aaba").road_lines}
    assert latin["solos"] == "A twice, B, A; 32 bars, 3 times, open; no kicks, mf"
    assert latin["out"].startswith("A twice, B, A (its first 6 bars), Coda, Tag 3 times, Last")
    blues = {line.name: line.words for line in guide_to("stop-time-blues", "Bb").road_lines}
    assert blues["intro"] == "Blues (its last 4 bars); 4 bars"
    assert blues["bass and soloist"].endswith("drums and comping out, p")
    assert blues["out"].endswith("in D")  # C, as a B flat instrument reads it


def test_line_without_a_name_says_once_how_often_it_is_played() -> None:
    sections = [{"name": "A", "chords": "I IV V I"}, {"name": "B", "chords": "IV V"}]
    order = ["A", {"play": "A, B", "times": 2, "trade": 4}]
    line = write_guide(arranged(sections=sections, order=order)).road_lines[1].words
    assert line.startswith("A, B; 6 bars, twice; trade")
    assert line.count("twice") == 1


@pytest.mark.parametrize(
    ("name", "line", "times", "rest"),
    [
        ("latin-swing-aaba", "solos", 3, "Fmaj7#11"),
        ("stop-time-blues", "first solo", 2, "C7"),
        ("modal-vamp", "solo", 8, "Dm9"),
    ],
)
def test_plan_is_for_the_open_line(name: str, line: str, times: int, rest: str) -> None:
    made = guide_to(name)
    assert [(time.line, time.number) for time in made.ground.times] == [
        (line, number) for number in range(1, times + 1)
    ]
    assert made.plan.steps[-1].last == times
    assert "When a whole solo chorus has gone by three times" in made.plan.tempo_words[0]
    assert str(made.rest) == rest


def test_plan_is_for_the_whole_road_where_no_line_is_open() -> None:
    form = arranged(sections=[{"name": "A", "chords": "I IV V I"}], order=[{"play": "A x4"}])
    made = write_guide(form)
    assert {(step.first, step.last) for step in made.plan.steps} == {(1, 1)}
    assert "When the whole track has gone by three times" in made.plan.tempo_words[0]
    assert names(made.ground.sequence) == "C F G C F G C F G C F G C"


@pytest.mark.parametrize("name", ["latin-swing-aaba", "stop-time-blues", "modal-vamp"])
def test_transposing_reader_has_the_same_numerals_and_other_chords(name: str) -> None:
    here, there = guide_to(name), guide_to(name, "Bb")
    for section, moved in zip(here.sections, there.sections, strict=True):
        assert [e.numeral for e in section.chords] == [e.numeral for e in moved.chords]
        for chord, other in zip(section.sequence, moved.sequence, strict=True):
            assert (other.root.pitch_class - chord.root.pitch_class) % 12 == 2


@settings(max_examples=examples(40))
@given(forms())
def test_sections_hold_every_chord_that_is_played_at_home(form: Form) -> None:
    made, chart = write_guide(form), unroll(form)
    told = {entry.chord for section in made.sections for entry in section.chords}
    for section in made.sections:
        assert sum(section.lengths) == section.bars
        assert set(section.sequence) <= told
    for time in chart.rounds:
        if time.key == form.key:
            for bar in chart.bars[time.first : time.last]:
                assert {slot.chord for slot in bar.slots if not slot.silent} <= told


def test_sections_with_a_key_of_their_own_need_no_order() -> None:
    form = arranged(
        sections=[{"name": "A", "chords": "I IV V I"}, {"name": "B", "key": "F", "chords": "I V"}]
    )
    made = write_guide(form)
    assert [names(section.sequence) for section in made.sections] == ["C F G C", "F C"]
    assert [str(time.line) for time in made.ground.times] == [""] * form.choruses


THIRDS = """
title = "Thirds"
key = "{key}"
order = "A, B, C, D"
sections = [
  {{ name = "A", chords = "Imaj7:1/2 bIII7:1/2 bVImaj7:1/2 VII7:1/2 IIImaj7 bvii7:1/2 bIII7:1/2" }},
  {{ name = "B", chords = "bVImaj7:1/2 VII7:1/2 IIImaj7:1/2 V7:1/2 Imaj7 #iv7:1/2 VII7:1/2" }},
  {{ name = "C", chords = "IIImaj7 bvii7:1/2 bIII7:1/2 bVImaj7 ii7:1/2 V7:1/2" }},
  {{ name = "D", chords = "Imaj7 #iv7:1/2 VII7:1/2 IIImaj7 ii7:1/2 V7:1/2" }},
]
"""


@pytest.mark.parametrize("key", ["B", "C", "Eb", "F#"])
def test_two_at_the_end_of_a_section_is_in_the_key_of_the_section_that_follows(
    tmp_path: Path, key: str
) -> None:
    """A cycle in thirds, its ii V I spread over two sections: common practice."""
    file = tmp_path / "thirds.toml"
    file.write_text(THIRDS.format(key=key), encoding="utf-8")
    made = write_guide(groove.read_form(str(file)))
    names = [role.name for entry in made.chords for role in entry.roles]
    assert not {"two", "secondary", "borrowed", "own mode"} & set(names)
    assert len(made.chords) == len({entry.chord for entry in made.chords})
    for section in made.sections:
        for choice in section.choices:
            assert set(choice.over) <= {c for c in section.sequence if within(c, _whole(choice))}


def _whole(choice: Choice) -> tuple[NoteName, ...]:
    return scale_notes(choice.root, "major")


def assert_scales_stand_in_their_sections(made: Guide) -> None:
    for section in made.sections:
        here = {entry.chord for entry in section.chords}
        assert section.choices, section.name
        for choice in section.choices:
            named = {*choice.over, *(chord for chord, _ in choice.watch)}
            assert named <= here, (section.name, choice.title, names(sorted(named - here, key=str)))


@pytest.mark.parametrize("name", EXAMPLES)
def test_scales_of_a_section_name_its_own_chords_alone(name: str) -> None:
    assert_scales_stand_in_their_sections(guide_to(name))


@settings(max_examples=examples(25), deadline=None)
@given(forms())
def test_scales_of_any_section_name_its_own_chords_alone(form: Form) -> None:
    if form.by_section:
        assert_scales_stand_in_their_sections(write_guide(form))


@pytest.mark.parametrize("intro", ["Fmaj7 | Gm7 C7", "Bbm7 Eb7", "F#m7 B7", "Gm7b5 | C7b9"])
def test_short_section_has_the_keys_of_its_own_chords_alone(intro: str) -> None:
    """Two bars in the key of a form through F and A flat major."""
    made = write_guide(
        arranged(
            key="F",
            order=["Intro, B, Tag"],
            sections=[
                {"name": "Intro", "chords": f"| {intro} |"},
                {"name": "B", "chords": "| Bbm7 | Eb7 | Abmaj7 | Gm7 C7 |"},
                {"name": "Tag", "chords": "| Am7 D7 | Gm7 C7 |"},
            ],
        )
    )
    assert_scales_stand_in_their_sections(made)
    found = {c.title: names(c.over) for c in section_of(made, "Tag").choices}
    assert found == {"F major pentatonic": "Gm7 C7 Am7", "F major": "Gm7 C7 Am7"}


def test_scale_told_of_before_over_the_same_chord_is_found_by_its_section() -> None:
    """``see Bm7`` under Bm7 would lead nowhere."""
    for name in EXAMPLES:
        spoken_of = entries(guide_to(name).chords)
        for entry, choices in zip(spoken_of, said_once(spoken_of), strict=True):
            assert str(symbol(entry[0].chord)) not in [before for _, before in choices]


def test_lines_without_a_name_are_said_together() -> None:
    sections = [{"name": name, "chords": "I IV V I"} for name in "AB"]
    made = write_guide(
        arranged(sections=sections, order=["A, B", {"play": "A", "as": "solos"}, "A"])
    )
    assert section_of(made, "A").played_in == ("lines 1 and 3", "solos")
    assert section_of(made, "B").played_in == ("line 1",)


@pytest.mark.parametrize(
    ("bars", "sizes"), [(8, "A eight bars, B four bars"), (9, "A 9 bars, B 4 bars")]
)
def test_sizes_are_all_in_words_or_all_in_figures(bars: int, sizes: str) -> None:
    sections = [{"name": "A", "chords": "I " * bars}, {"name": "B", "chords": "IV V IV V"}]
    made = write_guide(arranged(sections=sections, order=["A, B, A"]))
    assert built(made).endswith(f"{sizes}.")
