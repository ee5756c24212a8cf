"""What the guide says about a form."""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import groove
from groove import library
from groove.errors import GrooveError
from groove.form.readers import READERS
from groove.handout.chart.written import write_chart
from groove.lesson.change_words import NUMBERS, SIZES, brief_sentences, change_sentences, filled
from groove.lesson.form_scales import Choice
from groove.lesson.guide import Guide, write_guide
from groove.lesson.practice_plan import spread
from groove.theory.chords import Chord, parse_chord
from groove.theory.functions import KINDS
from groove.theory.motion import change
from groove.theory.pitch import NoteName
from groove.theory.roles import ROLES
from groove.theory.scale_spelling import spelled_over
from groove.theory.scales import SCALES
from groove.theory.symbols import symbol
from tests.theory.chord_material import CHORDS, NUMERALS

DEMO = Path(__file__).parents[2] / "demo"
FORMS = [*library.names("forms"), *(str(path) for path in sorted(DEMO.glob("*.toml")))]
NAME = re.compile(r"\b[A-G][♭♯]*(?=[ ,])")
MOVE = re.compile(
    r"(\S+), the ([a-z ]+) of (\S+), (rises|falls) (a .+) to (\S+), the ([a-z ]+) of (\S+)\."
)


def guide(chords: str, key: str = "C") -> Guide:
    return write_guide(groove.read_form("twelve-bar", chords=chords, key=key, turnaround=False))


def choices(made: Guide, chord: str) -> tuple[Choice, ...]:
    return next(entry.choices for entry in made.chords if str(entry.chord) == chord)


def titles(made: Guide, chord: str, *, plain: bool = True) -> list[str]:
    return [c.title for c in choices(made, chord) if not (plain and c.tag)]


@given(CHORDS, CHORDS)
def test_sentences_name_tones_of_the_chords_named_and_true_sizes(
    before: Chord, after: Chord
) -> None:
    for sentence in change_sentences(change(before, after)):
        match = MOVE.fullmatch(sentence)
        if not match:
            assert re.fullmatch(
                r"No note stays\.|.+ is new\.|\S+ stays.+\.|The bass .+\.", sentence
            )
            continue
        start, start_degree, _, way, size, end, end_degree, _ = match.groups()
        semitones = next(n for n, words in SIZES.items() if words == size)
        signed = semitones if way == "rises" else -semitones
        first, last = NoteName.parse(start), NoteName.parse(end)
        assert (first.pitch_class + signed - last.pitch_class) % 12 == 0
        for chord, name, words in ((before, first, start_degree), (after, last, end_degree)):
            degrees = [d for d in chord.quality.degrees if chord.root + d == name]
            assert [NUMBERS[d.number] for d in degrees] == [words.split()[-1]]


@given(CHORDS, CHORDS)
def test_brief_sentences_say_as_much_as_the_long_ones(before: Chord, after: Chord) -> None:
    made = change(before, after)
    long, brief = change_sentences(made), brief_sentences(made)
    assert len(long) == len(brief)
    for whole, short in zip(long, brief, strict=True):
        for chord in (before, after):
            whole = whole.replace(f" of {symbol(chord)}", "")
        assert NAME.findall(short) == NAME.findall(whole)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("reader", ["concert", "Eb"])
def test_every_shipped_form_has_a_guide(form: str, reader: str) -> None:
    made = write_guide(groove.read_form(form), READERS[reader])
    assert made.choices
    assert all(len(entry.choices) > 1 for entry in made.chords)
    assert {tone.name for line in made.lines for tone in line}


@given(
    st.lists(st.sampled_from(NUMERALS), min_size=1, max_size=8),
    st.sampled_from(["C", "F#", "Db", "A", "Am", "Ebm", "G#m"]),
)
def test_every_mode_holds_its_chord(numerals: list[str], key: str) -> None:
    for entry in guide(" ".join(numerals), key).chords:
        tones = {n.pitch_class for n in entry.chord.notes}
        tones -= {(entry.chord.root.pitch_class + 7) % 12}  # the fifth may give way
        for choice in entry.choices:
            if choice.root == entry.chord.root and "pentatonic" not in choice.scale:
                assert tones <= {n.pitch_class for n in choice.notes}, choice.title


@given(
    st.lists(st.sampled_from(NUMERALS), min_size=1, max_size=8),
    st.sampled_from(["C", "Gb", "A", "Bbm"]),
)
def test_pentatonics_off_the_blues_have_no_note_to_avoid(numerals: list[str], key: str) -> None:
    made = guide(" ".join(numerals), key)
    if made.harmony.kind in ("blues", "minor blues", "vamp", "modes"):
        return
    for entry in made.chords:
        if entry.roles[0].harmony.kind == "vamp":
            continue
        tones = {n.pitch_class for n in entry.chord.notes}
        for choice in entry.choices:
            if "pentatonic" in choice.scale:
                foreign = {n.pitch_class for n in choice.notes} - tones
                assert not {(pitch - 1) % 12 for pitch in foreign} & tones or (
                    entry.chord.quality.is_dominant
                )


def test_plain_choices_come_before_colours() -> None:
    for name in FORMS:
        for entry in write_guide(groove.read_form(name)).chords:
            tags = [choice.tag != "" for choice in entry.choices]
            assert tags == sorted(tags)


def test_power_chords_get_the_minor_pentatonic_first() -> None:
    """Common practice."""
    assert guide("I5 bVII5 IV5 I5", "E").choices[0].title == "E minor pentatonic"


def test_power_chords_are_no_suspensions() -> None:
    """Root and fifth hold nothing back, and take the key's minor pentatonic; common practice."""
    made = guide("I5 bVII5 IV5 I5", "E")
    assert "suspension" not in " ".join(word for entry in made.chords for word in entry.words)
    assert "E minor pentatonic" in titles(made, "E5")
    assert "D mixolydian" in titles(made, "D5")
    assert "A dorian" in titles(made, "A5")


def test_suspended_five_of_a_minor_key_keeps_to_the_key() -> None:
    """No F# and C# over E7sus4 in A minor; common practice."""
    assert "E phrygian" in titles(guide("i7 iv7 V7sus4 V7", "Am"), "E7sus4")
    assert "G mixolydian" in titles(guide("Imaj7 vi7 V7sus4 V7", "C"), "G7sus4")


def test_chord_that_slides_by_is_no_home() -> None:
    """Ebm7 between Em7 and Dm7; common practice."""
    made = guide("iii7 biii7 ii7 V7", "C")
    assert words(made, "Ebm7") == (
        "A passing chord: it moves a half step into Dm7, all its tones together."
    )


def test_modes_side_by_side_each_have_their_own_scale() -> None:
    """Common practice."""
    made = guide("i7:16 bii7:8 i7:8", "Dm")
    assert "D dorian" in titles(made, "Dm7")
    assert "E♭ dorian" in titles(made, "Ebm7")
    assert all(c.over for c in made.choices)


def test_loop_of_triads_gets_no_blues_scales_and_no_tensions() -> None:
    made = guide("I V vi IV", "G")
    every = [*made.choices, *(c for entry in made.chords for c in entry.choices)]
    assert not [c.title for c in every if "blues" in c.scale or c.tag]


def test_minor_five_takes_the_harmonic_minor_of_its_goal() -> None:
    """Common practice."""
    assert "E phrygian dominant" in titles(guide("iiø7 V7 i:2", "Am"), "E7")


def test_dominant_of_a_minor_chord_in_major_takes_its_harmonic_minor() -> None:
    """Common practice."""
    assert "A phrygian dominant" in titles(guide("Imaj7 VI7 ii7 V7"), "A7")
    assert "A mixolydian" in titles(guide("Imaj7 VI7 II7 V7"), "A7")


def test_flat_ninth_over_the_five_of_a_major_key_is_from_its_harmonic_minor() -> None:
    """Common practice."""
    assert "G phrygian dominant" in titles(guide("Imaj7 iiø7 V7b9 Imaj7"), "G7b9")


def test_tritone_substitute_takes_lydian_dominant() -> None:
    """Common practice."""
    assert "Db lydian dominant" in [
        t.replace("♭", "b") for t in titles(guide("ii7 bII7 Imaj7:2"), "Db7")
    ]


def test_chord_with_two_goals_says_which_scale_is_before_which() -> None:
    made = write_guide(groove.read_form("rhythm-changes"))
    words = {c.title: c.words for c in choices(made, "G7")}
    assert words["G phrygian dominant"].startswith("Before Cm7: ")
    assert words["G mixolydian"].startswith("Before C7: ")


def test_no_sentence_on_a_scale_begins_with_a_name_that_a_prefix_would_make_small() -> None:
    data = library.load("lesson", "scales")
    said = [
        *data["when"].values(),
        *(w for r in data["roles"].values() for w in r.get("say", {}).values()),
    ]
    assert not [sentence for sentence in said if sentence.startswith("{")]


def test_sixth_chord_takes_no_scale_with_a_flat_seventh() -> None:
    """The flat seventh lies a half step over the sixth; common practice."""
    assert "A melodic minor" in titles(guide("iiø7 V7 i6:2", "Am"), "Am6")


def test_transposing_readers_see_their_own_names() -> None:
    made = write_guide(groove.read_form("twelve-bar", key="C"), READERS["Eb"])
    assert [str(entry.chord) for entry in made.chords] == ["A7", "D7", "E7"]


def test_way_back_to_the_top_is_among_the_changes() -> None:
    made = guide("ii7 V7 Imaj7:2")
    back = [c for c in made.changes if c.back]
    assert [(str(c.change.before), str(c.change.after)) for c in back] == [("Cmaj7", "Dm7")]


def test_chord_leads_to_the_next_other_root() -> None:
    made = guide("Imaj7 VI7sus4:1/2 VI7:1/2 VI7/3 ii7 V7", "C")
    roles = {str(e.chord): (e.roles[0].name, str(e.roles[0].goal)) for e in made.chords}
    assert roles["A7"] == roles["A7/C#"] == ("secondary to minor", "Dm7")


def test_one_chorus_without_repeat_leads_home_and_not_to_the_top() -> None:
    form = groove.read_form("twelve-bar", chords="I7 IV7 ii7 V7", choruses=1, ending="hit")
    last = write_guide(form).changes[-1]
    assert (str(last.change.after), last.back) == ("C7", False)


@given(st.integers(1, 9), st.integers(1, 100), st.integers(1, 12))
def test_plan_fills_every_time_through_the_track(steps: int, choruses: int, least: int) -> None:
    placed = spread(steps, choruses, least)
    assert all(last - first + 1 >= min(least, choruses) for _, first, last in placed)
    assert len(placed) == steps
    for time in range(1, placed[-1][0] + 1):
        covered = [n for at, first, last in placed if at == time for n in range(first, last + 1)]
        assert set(covered) == set(range(1, choruses + 1))


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("tempo", [40, 76, 200, 320])
def test_plan_starts_at_or_below_the_tempo_of_the_track(form: str, tempo: int) -> None:
    plan = write_guide(groove.read_form(form, tempo=tempo)).plan
    assert tempo / 3 <= plan.start <= tempo
    assert plan.step > 0


def test_a_step_lasts_twenty_seconds_or_more() -> None:
    form = groove.read_form("i-v-vi-iv", tempo=120, choruses=12)  # a chorus lasts 16 seconds
    steps = write_guide(form).plan.steps
    assert min(step.last - step.first + 1 for step in steps) == 2


def plan_words(form: str, **asked: str) -> dict[str, str]:
    made = write_guide(groove.read_form(form, **asked))
    return {step.title: step.words for step in made.plan.steps}


def test_plan_gives_both_guide_tone_lines_the_one_that_moves_first() -> None:
    """In a vamp of ii and V, or i and IV, the seventh falls to the third; the other one stays."""
    words = plan_words("minor-vamp", key="Ebm", chords="i7:4 IV7:4")["The guide-tone lines"]
    assert words.index("D♭ – C.") < words.index("G♭ – G♭")


def test_plan_of_a_form_with_triads_leads_by_nearest_chord_tones_the_root_too() -> None:
    """Where a chord has no seventh its fifth is no guide tone; G is the nearest to G."""
    words = plan_words("i-vi-iv-v", key="G")
    assert "The guide-tone lines" not in words
    assert "B – B – C – D – D – E – E – D" in words["The nearest chord tone"]


@pytest.mark.parametrize(
    ("asked", "parts"),
    [
        (
            {"meter": "12/8", "drums": "slow-blues", "tempo": 56},
            "Count three eighths in every beat",
        ),
        ({"drums": "shuffle", "tempo": 70}, "Count a triplet in every beat"),
        ({"drums": "slow-ballad", "feel": "straight", "tempo": 60}, "Count two eighths in"),
    ],
)
def test_plan_for_a_slow_track_says_what_to_count(asked: dict[str, object], parts: str) -> None:
    made = write_guide(groove.read_form("twelve-bar", **asked))  # type: ignore[arg-type]
    assert parts in made.plan.tempo_words[0]


RISES = re.compile(
    r"Start at (\d+).* go up by (\d+)\. "
    r"After (\d+) rises?(?:, the last one of (\d+),)? you are at (\d+)\."
)


@pytest.mark.parametrize("tempo", [71, 75, 92, 100, 113, 152, 201, 300])
def test_the_rises_add_up_to_the_tempo_of_the_track(tempo: int) -> None:
    made = write_guide(groove.read_form("twelve-bar", tempo=tempo))
    match = RISES.fullmatch(made.plan.tempo_words[0])
    assert match
    start, step, rises, last, goal = (int(n or 0) for n in match.groups())
    assert start + step * rises - (last and step - last) == goal == tempo


def test_plan_of_a_key_cycle_names_the_keys_in_their_order() -> None:
    asked = {"key": "C", "choruses": 14, "key_cycle": "fourths"}
    plan = write_guide(groove.read_form("twelve-bar", **asked)).plan  # type: ignore[arg-type]
    said = "C F B♭ E♭ A♭ D♭ G♭ B E A D G, and round again. So the steps count notes from the tonic"
    assert said in " ".join(plan.tempo_words)
    assert plan.steps[-1].words.endswith("a tone of F7.")  # in the key of the last chorus


def cycle(**asked: object) -> Guide:
    usual = {"key": "C", "choruses": 12, "turnaround": False, "key_cycle": "fourths"}
    asked = usual | {"chords": "ii7 V7 Imaj7:2"} | asked
    return write_guide(groove.read_form("twelve-bar", **asked))  # type: ignore[arg-type]


def test_plan_of_a_key_cycle_names_no_note_or_chord_that_holds_in_one_key_alone() -> None:
    """Degrees hold in every key; common practice."""
    words = {step.title: step.words for step in cycle().plan.steps}
    assert "ii7 (2 4 6 1), V7 (5 7 2 4) and Imaj7 (1 3 5 7)" in words["Chord tones only"]
    assert "4 for ii7, 7 for V7 and 3 for Imaj7" in words["Roots and thirds on the change"]
    assert "play the key's major pentatonic there" in words["One position"]
    assert "4 – 4 – 3. Then the other line: 1 – 7 – 7" in words["The guide-tone lines"]
    assert words["Free"].endswith("a tone of Gmaj7.")


@pytest.mark.parametrize("reader", ["concert", "Eb"])
@pytest.mark.parametrize("cycle", ["none", "fourths"])
@pytest.mark.parametrize("key", ["Gb", "F#", "E", "D"])
def test_plan_names_no_note_or_degree_with_two_signs(key: str, cycle: str, reader: str) -> None:
    """Players read A, not B double flat; common practice."""
    for form in ("eight-bar", "jazz-twelve-bar", "rhythm-changes"):
        asked = groove.read_form(form, key=key, key_cycle=cycle, choruses=4)
        for step in write_guide(asked, READERS[reader]).plan.steps:
            assert not re.search("♭♭|♯♯", step.words), step.words


def test_every_key_of_a_cycle_has_its_chords_guide_tones_and_scale() -> None:
    rows = cycle().others
    assert [row.key for row in rows] == list(cycle().keys)
    f = [(str(chord), [str(tone.name) for tone in tones]) for chord, tones in rows[1].chords]
    assert f == [("Gm7", ["Bb", "F"]), ("C7", ["E", "Bb"]), ("Fmaj7", ["A", "E"])]
    assert rows[1].scale.title == "F major pentatonic"
    assert cycle(key_cycle="none").others == ()


@pytest.mark.parametrize("reader", ["concert", "Bb"])
def test_top_of_the_next_chorus_is_in_its_own_key(reader: str) -> None:
    form = groove.read_form("twelve-bar", chords="ii7 V7 Imaj7:2", key="C", choruses=4,
                            key_cycle="fourths", turnaround=False)  # fmt: skip
    made = write_guide(form, READERS[reader])
    first, last = ("Cmaj7", "Gm7") if reader == "concert" else ("Dmaj7", "Am7")
    top = made.changes[-1]
    assert (str(top.change.before), str(top.change.after), top.back) == (first, last, True)
    assert top.key == made.keys[1]


def test_turnaround_of_a_cycle_leads_to_the_next_key() -> None:
    made = cycle(chords="I7:12", turnaround="V7:1")
    assert [str(chord) for chord in made.sequence] == ["C7"]  # the V of F
    made = cycle(chords="Imaj7:12", turnaround="V7:1")
    assert [str(chord) for chord in made.sequence] == ["Cmaj7", "C7"]


@pytest.mark.parametrize(
    ("form", "first"),
    [
        ("twelve-bar", "One position"),
        ("minor-twelve-bar", "One position"),
        ("i-v-vi-iv", "One position"),
        ("rhythm-changes", "Chord tones only"),
        ("descending-minor", "Chord tones only"),
    ],
)
def test_plan_begins_with_what_is_easiest(form: str, first: str) -> None:
    """Common teaching practice: one scale where one holds, else the tones of the chords."""
    assert write_guide(groove.read_form(form)).plan.steps[0].title == first


@pytest.mark.parametrize(("choruses", "said"), [(3, "on the next its third"), (12, "next chorus")])
def test_step_with_one_chorus_asks_for_no_second(choruses: int, said: str) -> None:
    made = write_guide(groove.read_form("twelve-bar", choruses=choruses))
    assert said in next(s.words for s in made.plan.steps if s.title.startswith("Roots"))


def test_plan_asks_for_no_note_value_that_is_no_beat() -> None:
    """The beat of 12/8 is a dotted quarter; common practice."""
    words = plan_words("twelve-bar", meter="12/8", drums="slow-blues", tempo="56")
    assert not any("quarters" in said for said in words.values())


def test_transposing_reader_has_the_keys_of_a_cycle_as_on_his_chart() -> None:
    form = groove.read_form("twelve-bar", key="Gb", choruses=4, key_cycle="up")
    plan = write_guide(form, READERS["Bb"]).plan
    order = write_chart(form, READERS["Bb"]).course[0].split(": ")[1].rstrip(".")
    assert f"a key a chorus: {order}." in " ".join(plan.tempo_words)


def test_plan_of_a_tempo_ladder_names_its_first_and_last_tempo() -> None:
    form = groove.read_form("twelve-bar", tempo=100, choruses=5, tempo_step=4)
    said = " ".join(write_guide(form).plan.tempo_words)
    assert "from 100 in its first chorus to 116 in its last" in said


def test_plan_of_a_steady_track_has_no_word_on_keys_or_ladders() -> None:
    assert len(write_guide(groove.read_form("twelve-bar", choruses=5)).plan.tempo_words) == 2


def test_quicker_changes_start_slower() -> None:
    slow, quick = (guide(chords).plan.start for chords in ("I7:4 IV7:4", "I7:1/2 IV7:1/2"))
    assert quick < slow


def test_every_role_and_kind_has_its_sentences() -> None:
    data = library.load("lesson", "scales")
    assert set(data["kinds"]) == set(KINDS)
    assert set(data["roles"]) == set(ROLES)


def test_every_scale_of_the_data_is_a_scale_with_a_sentence() -> None:
    data = library.load("lesson", "scales")
    for role in data["roles"].values():
        for name in (*role["modes"], *role["colours"], *role.get("pentatonics", ())):
            assert name == "home" or (name in SCALES and name in data["when"])


def test_sentences_on_scales_speak_of_no_one_instrument() -> None:
    """A piano's note can't be bent, and a horn has no frets."""
    text = library.path_of("lesson", "scales").read_text()
    said = [line for line in text.splitlines() if not line.startswith("#")]
    ours = re.compile(r"\b(bend|fret|string|neck|hand|finger|shape|slide|lip|bow|breath)s?\b")
    assert not [line for line in said if ours.search(line) and "slides down a half" not in line]


def test_unknown_name_in_a_sentence_is_one_line_that_says_which_there_are() -> None:
    with pytest.raises(GrooveError, match=r"\{goal\}") as caught:
        filled("Go to {gaol}.", {"goal": "C"})
    assert "\n" not in str(caught.value)


def test_altered_scale_is_spelled_for_reading() -> None:
    made = guide("Imaj7:2 ii7 V7", "Bb")
    altered = next(c for c in choices(made, "F7") if c.scale == "altered")
    assert [str(n) for n in altered.notes] == ["F", "Gb", "Ab", "A", "B", "Db", "Eb"]


def test_chord_symbols_read_back() -> None:
    for entry in guide("Imaj7 #Idim7 ii7 V7sus4").chords:
        assert parse_chord(str(entry.chord)) == entry.chord


REVIEWED_BOSSA = "i7:2 iiø7 V7b9 iv7 bVII7 bIIImaj7 bVImaj7 iiø7 V7b9 i6 V7b9"


def words(made: Guide, chord: str) -> str:
    return " ".join(next(entry.words for entry in made.chords if str(entry.chord) == chord))


def said(made: Guide, chord: str, title: str) -> str:
    return next(c.words for c in choices(made, chord) if c.title == title)


def test_five_with_several_goals_names_home_first_and_then_the_others() -> None:
    """Common practice: a V is explained by its way home."""
    made = guide(REVIEWED_BOSSA, "Am")
    assert words(made, "E7b9").endswith("leads to Am6 and Am7, and once to Dm7 instead.")
    waltz = words(guide("Imaj7 vi7 ii7 V7 iii7 VI7 ii7 V7", "G"), "D7")
    assert waltz == "The V: it leads to Gmaj7, and once to Bm7 instead."


CYCLE = "Bmaj7 D7 Gmaj7 Bb7 Ebmaj7 F#7 Bmaj7:2"


def test_cycle_in_thirds_has_a_scale_for_each_of_its_keys() -> None:
    """Each major seventh with its own V7 is a key; common practice."""
    made = guide(CYCLE, "B")
    over = {c.title: [str(chord) for chord in c.over] for c in made.choices}
    assert over["G major"] == over["G major pentatonic"] == ["D7", "Gmaj7"]
    assert over["E♭ major"] == ["Bb7", "Ebmaj7"]
    assert over["B major"] == ["Bmaj7", "F#7"]
    assert "G major, " in made.about or " G major" in made.about


def test_chords_of_a_local_key_take_its_scales() -> None:
    """Common practice."""
    made = guide(CYCLE, "B")
    assert titles(made, "Gmaj7") == ["Gmaj7 arpeggio", "G major pentatonic", "G major"]
    assert "D mixolydian" in titles(made, "D7")
    assert words(made, "D7") == "The V of G major: it leads to Gmaj7."
    assert words(made, "Gmaj7").startswith("Home for its bars")


def test_scale_of_a_key_is_for_the_chords_that_it_holds() -> None:
    """Db7 before Cmaj7 is no chord of C major; common practice."""
    made = guide("Imaj7 bIII7 bVImaj7 bII7", "C")
    over = {c.title: [str(chord) for chord in c.over] for c in made.choices}
    assert over["C major"] == ["Cmaj7"]
    assert over["A♭ major"] == ["Eb7", "Abmaj7"]


def test_melodic_minor_is_not_for_a_minor_seventh_in_the_bass() -> None:
    """B natural against B♭ in the bass; common practice."""
    made = guide("i i/7 i/b7 IV/3 bVI V7", "Cm")
    over = {c.title: [str(chord) for chord in c.over] for c in made.choices}
    assert over["C melodic minor"] == ["Cm", "Cm/B"]
    assert "dorian" not in scales(made, "Cm/B")


def test_two_five_one_of_the_flat_three_is_no_way_home() -> None:
    """Fm7 Bb7 Ebmaj7 in C is the ii V I of Eb; common practice."""
    made = guide("Imaj7 iv7 bVII7 bIIImaj7", "C")
    said = " ".join(words(made, chord) for chord in ("Fm7", "Bb7", "Ebmaj7"))
    assert "way home" not in said
    assert "comes home" not in said
    assert said.count("E♭ major") == 3


def test_chord_with_two_roles_gets_one_sentence() -> None:
    made = write_guide(groove.read_form("rhythm-changes", key="Bb"))
    assert words(made, "G7") == (
        "A dominant on the way to Cm7, which is minor: it brings that chord's harmonic minor; "
        "elsewhere it leads to C7, as a V leads to its I."
    )
    assert words(made, "F7") == "The V: it leads to B♭6, and in places to Fm7 instead."


def test_mode_of_harmonic_minor_is_named_after_its_own_key() -> None:
    """E phrygian dominant is A harmonic minor wherever the chord goes; common practice."""
    made = guide(REVIEWED_BOSSA, "Am")
    assert said(made, "E7b9", "E phrygian dominant").startswith("The notes of A harmonic minor")
    assert "Am6" in said(made, "E7b9", "E altered")


def test_dominant_whose_third_falls_does_not_resolve_yet() -> None:
    """G7 before Gm7 is no V of the C7 after it, so no altered tones; common practice."""
    made = guide("Imaj7 II7 ii7 V7", "F")
    assert [c.scale for c in choices(made, "G7") if c.tag == "tension"] == []
    assert "Gm7 comes next" in words(made, "G7")


@pytest.mark.parametrize("chords", ["I bVII IV I", "I7:4 bVII:2 IV:2"])
def test_loop_of_one_flat_seven_and_four_is_mixolydian(chords: str) -> None:
    """No leading note over a bVII, and the IV takes its plain major scale; common practice."""
    made = guide(chords, "G")
    scales = [c.scale for c in made.choices]
    assert {"mixolydian", "minor pentatonic", "blues"} <= set(scales)
    assert "major" not in scales
    assert "C major" in titles(made, "C")
    assert "C lydian" not in titles(made, "C")


def watched(made: Guide, title: str) -> dict[str, str]:
    watch = next(c.watch for c in made.choices if c.title == title)
    return {str(chord): " ".join(map(str, notes)) for chord, notes in watch}


def test_notes_that_a_chord_has_otherwise_are_named_whatever_the_chord() -> None:
    """A third, sixth or seventh against its own half step clashes worst; common practice."""
    rhythm = write_guide(groove.read_form("rhythm-changes", key="Bb"))
    assert "Bb" in watched(rhythm, "B♭ major pentatonic")["G7"].split()
    bossa = watched(guide(REVIEWED_BOSSA, "Am"), "A minor pentatonic")
    assert "G" in bossa["E7b9"].split()
    minor = watched(guide("iiø7 V7b9 i6:2", "Cm"), "C minor pentatonic")
    assert minor["Cm6"] == "Bb"


def over(made: Guide, title: str) -> list[str]:
    return [str(chord) for c in made.choices if c.title == title for chord in c.over]


def test_natural_minor_is_for_the_chords_that_it_holds() -> None:
    made = guide("i7 iv7 bVI7 V7 i6", "Am")
    assert over(made, "A natural minor") == ["Am7", "Dm7"]


VAMP_AND_BRIDGE = "i7:1/2 IV7:1/2 " * 3 + "iiø7:1/2 V7b9:1/2 iv7 bVII7 bIIImaj7 V7 i6"


def test_home_and_major_four_going_back_and_forth_are_dorian_before_changes_in_minor() -> None:
    """The sixth of the mode is the third of the IV; common practice."""
    made = guide(VAMP_AND_BRIDGE, "Dm")
    assert over(made, "D dorian") == ["Dm7", "G7"]
    assert "Dm7" not in over(made, "D natural minor")
    assert titles(made, "Dm7")[-1] == "D dorian"


@pytest.mark.parametrize(
    "chords", ["i7 IV7 iiø7 V7b9 i6", "i7 i6 i7 i6 iv7 V7", "i7 iv7 i7 iv7 V7"]
)
def test_one_change_or_chords_of_the_key_make_no_vamp(chords: str) -> None:
    assert guide(chords, "Dm").harmony.vamps == ()


def test_five_that_goes_elsewhere_is_said_to_disappoint_the_ear() -> None:
    """Common practice."""
    assert words(guide("i7 V7b9 iv7 V7b9", "Dm"), "A7b9").startswith(
        "The V of a minor key: it leads to Dm7, and once to Gm7 instead."
    )
    said = words(guide("i7 V7b9 iv7", "Dm"), "A7b9")
    assert said == "The V of a minor key: the ear expects Dm7, and Gm7 comes instead."
    said = words(guide("Imaj7 V7 vi7 IVmaj7"), "G7")
    assert said == "The V: the ear expects Cmaj7, and Am7 comes instead."


def test_minor_blues_warns_of_each_note_that_rubs_and_keeps_its_pentatonic() -> None:
    """E against the Eb of F7, G against the G# of E7; common practice."""
    made = guide("i7:4 iv7:2 i7:2 bVI7 V7 i7:2", "Am")
    assert watched(made, "A minor pentatonic") == {"F7": "E", "E7": "A G"}
    first = {chord: choices(made, chord)[1] for chord in ("F7", "E7")}
    assert {choice.title for choice in first.values()} == {"A minor pentatonic"}
    assert "E rubs against E♭" in first["F7"].words
    assert "A and G rub against G♯" in first["E7"].words
    assert [str(n) for n in first["F7"].avoid] == ["E"]


def test_guide_tone_that_none_leads_to_comes_from_the_nearest_tone() -> None:
    """E of Am7 falls to the Eb of F7; common practice."""
    sentences = change_sentences(change(parse_chord("Am7"), parse_chord("F7")))
    assert "E, the fifth of Am7, falls a half step to E♭, the seventh of F7." in sentences
    assert not any("is new" in sentence for sentence in sentences)


def test_note_that_the_bass_has_otherwise_clashes() -> None:
    """A over a Bm with A# in the bass; common practice."""
    made = guide("I V/3 vi vi/7 IV I/3 ii7/5 V7", "D")
    assert "A" in watched(made, "D major pentatonic")["Bm/A#"]
    assert "D major pentatonic" not in titles(made, "Bm/A#")


def scales(made: Guide, chord: str) -> set[str]:
    return {c.scale for c in choices(made, chord)}


def test_tensions_stand_only_where_the_chord_resolves() -> None:
    """I before V, and V before IV, are no resolution; common practice."""
    made = guide("I7 V7 IV7 IV7 I7 V7 IV7 I7")
    tense = {"altered", "half-whole diminished"}
    assert not tense & (scales(made, "C7") | scales(made, "G7"))
    assert tense <= scales(guide("I7:4 IV7:2 I7:2 V7 IV7 I7 V7"), "G7")


def test_five_of_a_minor_chord_takes_no_major_third_of_its_goal() -> None:
    """Half-whole over E7 has C#, the major third of A; common practice."""
    assert "half-whole diminished" not in scales(guide("iiø7 V7 i:2", "Am"), "E7")
    assert "half-whole diminished" not in scales(guide("Imaj7 VI7 ii7 V7"), "A7")


def test_raised_fifth_that_leads_home_takes_whole_tone_or_altered() -> None:
    """Common practice."""
    found = scales(guide("I IV V+ I"), "G+") | scales(guide("Imaj7 vi7 V+ Imaj7"), "G+")
    assert "whole tone" in found
    assert "altered" in found
    assert "lydian augmented" not in found


BACK_WAY = "Imaj7 iv7 bVII7 Imaj7 bVImaj7 bIIImaj7 iiø7 V7"


def test_half_diminished_two_of_a_major_key_takes_the_third_of_that_key() -> None:
    """F locrian is Eb natural minor; with the natural second it has Eb's own G; common practice."""
    made = guide(BACK_WAY, "Eb")
    assert "F locrian natural 2" in titles(made, "Fm7b5")
    assert "F locrian" not in titles(made, "Fm7b5")
    assert "G, is the third of E♭ major" in said(made, "Fm7b5", "F locrian natural 2")
    assert said(made, "Fm7b5", "F locrian").startswith("The notes of E♭ natural minor")


def test_minor_four_before_the_flat_seven_is_half_of_the_back_way_home() -> None:
    """Abm7 - Db7 - Ebmaj7, its Cb to Bb; common practice."""
    text = words(guide(BACK_WAY, "Eb"), "Abm7")
    assert "A♭m7 – D♭7 – E♭maj7" in text
    assert "C♭, falls a half step to B♭" in text


def test_back_way_home_goes_to_the_chord_at_home_alone() -> None:
    made = guide("Imaj7 I7 IVmaj7 iv7 bVII7 Imaj7", "Eb")
    assert "A♭m7 – D♭7 – E♭maj7." in words(made, "Abm7")


@pytest.mark.parametrize(
    ("chord", "written"),
    [
        ("Bb7", "Bb Cb Db D E Gb Ab"),
        ("Bb7b9", "Bb Cb Db D E Gb Ab"),
        ("C7", "C Db Eb E Gb Ab Bb"),
        ("C7alt", "C Db Eb E Gb Ab Bb"),
        ("Db7", "Db D Fb F G A Cb"),
        ("E7alt", "E F G G# Bb C D"),
    ],
)
def test_altered_scale_is_spelled_one_way_on_every_chord(chord: str, written: str) -> None:
    """b9 on the next letter, #9 as a minor third, no double signs; common practice."""
    read = parse_chord(chord)
    assert " ".join(map(str, spelled_over(read, read.root, "altered"))) == written


def test_major_four_of_a_dorian_vamp_names_its_bright_sixth() -> None:
    """Common practice."""
    assert "bright sixth of the dorian mode" in words(guide("i7:4 IV7:4", "Am"), "D7")


def test_bass_line_of_slash_chords_is_said() -> None:
    """A - G - F under Am, Am/G and F; common practice."""
    made = guide("i i/b7 bVI V7", "Am")
    said_of = [entry.sentences[-1] for entry in made.changes[:2]]
    assert said_of == ["The bass steps down from A to G.", "The bass steps down from G to F."]
