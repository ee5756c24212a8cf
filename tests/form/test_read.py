"""Reading forms: shipped ones, layers and overrides, limits, and where an error points.

Source where none stands beside a check: common practice, or the form file as documented.
"""

from pathlib import Path
from typing import Any, ClassVar

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from groove import library
from groove.errors import LONGEST_LINE
from groove.form.build import FormError, Layer, build
from groove.form.fields import FIELDS
from groove.form.model import Form
from groove.form.read import read_form
from groove.form.style import usual_tempo
from groove.form.written_chords import chorus_slots
from groove.rhythm.patterns import drum_pattern
from tests.band.band_material import some
from tests.cases import in_turn

SHIPPED_BARS = {
    "descending-minor": 8, "eight-bar": 8, "i-v-vi-iv": 8, "i-vi-iv-v": 8, "jazz-twelve-bar": 12,
    "minor-twelve-bar": 12, "minor-vamp": 8, "one-chord-vamp": 8, "quick-change-twelve-bar": 12,
    "rhythm-changes": 32, "sixteen-bar": 16, "twelve-bar": 12,
}  # fmt: skip


def made(file: dict[str, Any], **options: Any) -> Form:
    return build([Layer(file, lambda field: "file"), Layer(options, lambda field: field, True)])


def chords(form: Form) -> list[str]:
    """The chord at the start of each bar of a chorus."""
    slots, bar = chorus_slots(form), form.meter.bar_ticks
    return [
        next(str(s.chord) for s in slots if s.start <= at * bar < s.end) for at in range(form.bars)
    ]


def problem(tmp_path: Path, text: str | bytes, **options: Any) -> str:
    path = tmp_path / "f.toml"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    with pytest.raises(FormError) as error:
        read_form(path, **options)
    return str(error.value).removeprefix(f"{path}, ")


def test_twelve_bar_blues_is_that_of_the_trade() -> None:
    """I I I I · IV IV I I · V IV I I (check-values: common practice)."""
    blues = "A7 A7 A7 A7 D7 D7 A7 A7 E7 D7 A7 A7"
    assert chords(read_form("twelve-bar", key="A")) == blues.split()


def test_quick_change_goes_to_the_fourth_in_bar_two() -> None:
    """Check-values: common practice."""
    plain = chords(read_form("twelve-bar", key="A"))
    quick = chords(read_form("twelve-bar", key="A", quick_change=True))
    assert quick == [plain[0], "D7", *plain[2:]]


def test_turnaround_has_the_fifth_in_bar_twelve() -> None:
    """Check-values: common practice."""
    plain = chords(read_form("twelve-bar", key="A"))
    assert chords(read_form("twelve-bar", key="A", turnaround=True)) == [*plain[:11], "E7"]


def test_every_shipped_form_is_known_here() -> None:
    """A form that is added gets its row above."""
    assert set(SHIPPED_BARS) <= set(library.names("forms"))


@pytest.mark.parametrize("name", library.names("forms"))
def test_shipped_form_reads_without_a_remark(name: str) -> None:
    assert read_form(name).notes == ()


@pytest.mark.parametrize("name", SHIPPED_BARS)
def test_shipped_form_has_its_bars(name: str) -> None:
    assert read_form(name).bars == SHIPPED_BARS[name]


def test_rhythm_changes_is_aaba_of_eights() -> None:
    sections = [(s.name, s.bars) for s in read_form("rhythm-changes").sections]
    assert sections == [("A", 8), ("A", 8), ("B", 8), ("A", 8)]


def test_section_without_chords_takes_those_of_the_last_of_its_name() -> None:
    sections = read_form("rhythm-changes").sections
    assert sections[3].spans == sections[1].spans


@pytest.mark.parametrize(
    ("file", "message"),
    [
        ({"quick_change": True, "chords": "I7 V7:3"}, "needs the tonic chord"),
        ({"quick_change": True, "chords": "V7:4"}, "needs the tonic chord"),
        ({"quick_change": True, "chords": "I7"}, "needs the tonic chord"),
        ({"turnaround": "I7:2 V7", "chords": "I7:8"}, "lasts 3 bars; at most the last two"),
        ({"turnaround": True, "chords": "I7"}, "the form only 1"),
        ({"turnaround": "A7", "chords": "I7:4"}, "are mixed"),
        ({"chords": "A7"}, "absolute symbols need the key"),
        ({"chords": "I7", "sections": [{"name": "A", "chords": "I7"}]}, "leave chords out"),
        ({}, "no chords"),
        ({"sections": [{"name": "A"}]}, "section A has no chords"),
        ({"sections": []}, "write each as [[sections]]"),
        ({"chords": "I7", "choruses": 101}, "from 1 to 100"),
        ({"chords": "I7", "choruses": 0}, "from 1 to 100"),
        ({"chords": "I7:1000", "choruses": 100}, "at most 60 are allowed"),
        ({"chords": "I7:61", "choruses": 59, "tempo": 240, "count_in": 1}, "at most 60 are"),
        ({"chords": "I:1001"}, "at most 1,000"),
        ({"sections": [{"name": "A", "chords": "I:600"}] * 2}, "fill 1200 bars; at most 1,000"),
        ({"chords": "I", "tempo": 29}, "30 to 320"), ({"chords": "I", "tempo": 321}, "30 to 320"),
        ({"chords": "I", "tempo": float("nan")}, "no number"),
        ({"chords": "I", "tempo": True}, "no number"),
        ({"chords": "I", "meter": "11/8"}, "found '11/8'"),
        ({"chords": "I", "count_in": 9}, "from 0 to 8"),
        ({"chords": "I", "key": "G#"}, "write Ab"), ({"chords": "I", "title": ""}, "one line"),
        ({"chords": "I", "seed": -1}, "from 0 to"),
        ({"chords": "I", "seed": 1 << 5000}, "from 0 to"),
        ({"chords": "I", "feel": "swung"}, "did you mean swing"),
        ({"chords": "I", "feel": "straight", "swing_ratio": 2}, "does not go with straight"),
        ({"chords": "I", "meter": "12/8", "feel": "swing"}, "beats are triplets already"),
        ({"chords": "I", "drums": "waltz", "meter": "4/4"}, "waltz is in 3/4, and 4/4 is played"),
        ({"chords": "I", "drumms": "waltz"}, "did you mean drums?"),
    ],
)  # fmt: skip
def test_fault_is_named(file: dict[str, Any], message: str) -> None:
    with pytest.raises(FormError) as error:
        made(file)
    assert message in str(error.value)


@pytest.mark.parametrize(
    "file",
    [
        {"chords": "I7:1000", "choruses": 1, "tempo": 320},
        {"chords": "I7", "choruses": 100},
        {"chords": "I7:1/4 V7:3/4", "count_in": 0},
        {"sections": [{"name": "A", "chords": "I:500"}] * 2, "choruses": 1},
        {"chords": "I7", "tempo": 30}, {"chords": "I7", "tempo": "112.5"},
        {"chords": "I7", "seed": 2**63 - 1},
        # 59 times 61 bars and the ending's at a second a bar: an hour
        {"chords": "I7:61", "choruses": 59, "tempo": 240, "count_in": 0},
    ],
)  # fmt: skip
def test_limit_itself_is_allowed(file: dict[str, Any]) -> None:
    assert made(file).bars


@pytest.mark.parametrize("number", ["7", "7.0", "+7"])
def test_whole_number_may_come_as_text(number: str) -> None:
    assert made({"chords": "I"}, choruses=number).choruses == 7


@pytest.mark.parametrize("field", ["title", "key"])
def test_text_in_utf_8_is_read_where_the_locale_is_another(field: str) -> None:
    """There Python gives each byte of an argument beyond ASCII as a lone surrogate."""
    argument = {"title": "Straße", "key": "B♭"}[field].encode().decode("ascii", "surrogateescape")
    form = made({"chords": "I"}, **{field: argument})
    assert str(getattr(form, field)) == {"title": "Straße", "key": "Bb major"}[field]


def test_text_that_is_no_utf_8_is_refused_for_that() -> None:
    with pytest.raises(FormError, match="'Stra\\?e', which is no text in UTF-8"):
        made({"chords": "I"}, title="Stra\udcdfe")


def test_title_from_a_file_name_is_read_where_the_locale_is_another(tmp_path: Path) -> None:
    path = tmp_path / "lange-straße.toml".encode().decode("ascii", "surrogateescape")
    path.write_text('chords = "I"')
    assert read_form(path).title == "Lange straße"


def test_all_faults_are_found() -> None:
    with pytest.raises(FormError) as error:
        made({"chords": "Q", "tempo": 1}, choruses=0)
    assert len(error.value.problems) == 3


@pytest.mark.parametrize(("where", "usage"), [("file", False), ("options", True)])
def test_fault_in_an_option_is_a_matter_of_usage(where: str, usage: bool) -> None:
    file: dict[str, Any] = {"chords": "I"}
    with pytest.raises(FormError) as error:
        made(file, tempo=1) if where == "options" else made(file | {"tempo": 1})
    assert error.value.usage is usage


class TestOverrides:
    """The fields that an option replaces, as groove/form/style.py and build.py say."""

    FILE: ClassVar[dict[str, Any]] = {
        "chords": "I7:4",
        "drums": "rumba",
        "bass": "tumbao",
        "comping": "offbeat-guitar",
    }

    @pytest.mark.parametrize("drums", some("drums"))
    def test_another_drum_pattern_brings_its_own_band(self, drums: str) -> None:
        alone = made({"chords": "I7:4", "drums": drums})
        over = made(self.FILE | {"feel": "straight", "meter": "4/4"}, drums=drums)
        style = ("meter", "feel", "bass", "comping", "drums", "swing_ratio")
        assert {f: getattr(over, f) for f in style if f != "swing_ratio"} == {
            f: getattr(alone, f) for f in style if f != "swing_ratio"
        }

    def test_another_metre_brings_a_drum_pattern_in_it(self) -> None:
        form = made(self.FILE, meter="3/4")
        assert (str(form.meter), form.drums.name) == (
            "3/4",
            library.table("defaults")["3/4"]["swing"],
        )

    def test_another_feel_takes_the_place_of_a_ratio(self) -> None:
        form = made({"chords": "I7:4", "swing_ratio": 1.7}, feel="shuffle")
        assert (form.feel, form.swing_ratio) == ("shuffle", 2.0)

    def test_a_ratio_takes_the_place_of_a_feel(self) -> None:
        assert made({"chords": "I7:4", "feel": "straight"}, swing_ratio=1.7).feel == "swing"

    def test_a_ratio_leaves_a_feel_that_can_have_it(self) -> None:
        form = made({"chords": "I7:4", "feel": "shuffle"}, swing_ratio=1.7)
        assert (form.feel, form.drums.name, form.swing_ratio) == ("shuffle", "shuffle", 1.7)

    def test_an_even_ratio_can_t_straighten_triplets(self) -> None:
        with pytest.raises(FormError, match="written in triplets"):
            made({"chords": "I7:4", "drums": "shuffle", "swing_ratio": 1})

    def test_a_ratio_that_makes_a_swing_is_what_a_compound_metre_refuses(self) -> None:
        with pytest.raises(FormError, match="swing_ratio: swing does not go with 6/8"):
            made({"chords": "I7:4"}, meter="6/8", swing_ratio=2)

    def test_what_one_layer_says_stands_together(self) -> None:
        form = made({"chords": "I7:4"}, drums="rumba", bass="eighth-pedal")
        assert (form.drums.name, form.bass.name) == ("rumba", "eighth-pedal")

    @pytest.mark.parametrize(
        ("below", "above", "key"),
        [("Am", "C", "C minor"), ("A", "C", "C major"), ("Am", "Db", None), ("A", "Cm", "C minor")],
    )
    def test_bare_tonic_keeps_the_mode(self, below: str, above: str, key: str | None) -> None:
        file = {"chords": "I7:4", "key": below}
        if key:
            assert str(made(file, key=above).key) == key
        else:
            with pytest.raises(FormError, match="write C#m"):
                made(file, key=above)

    def test_absolute_chords_move_with_the_key(self) -> None:
        form = made({"key": "G", "chords": "G7 C7/E D7 Bbmaj7"}, key="Ab")
        assert chords(form) == ["Ab7", "Db7/F", "Eb7", "Bmaj7"]

    def test_applied_chords_over_another_bass_move_too(self) -> None:
        file = {"key": "C", "chords": "I V7/V/3 V7 I"}
        assert chords(made(file)) == ["C", "D7/F#", "G7", "C"]
        assert chords(made(file, key="Eb")) == ["Eb", "F7/A", "Bb7", "Eb"]

    def test_chords_of_a_turnaround_move_too(self) -> None:
        form = made({"key": "G", "chords": "G7:4", "turnaround": "Em7 D7"}, key="A")
        assert chords(form) == ["A7", "A7", "F#m7", "E7"]

    @pytest.mark.parametrize(
        "below",
        [
            {"key": "G", "chords": "G7"},
            {"key": "G", "sections": [{"name": "A", "chords": "G7"}]},
            {"key": "Gm", "chords": "i"},
        ],
    )
    def test_absolute_chords_given_with_a_key_are_in_it(self, below: dict[str, Any]) -> None:
        assert chords(made(below, chords="A7 D7", key="A")) == ["A7", "D7"]

    def test_absolute_chords_given_without_a_key_are_refused(self) -> None:
        with pytest.raises(FormError, match="absolute symbols need the key"):
            made({"key": "G", "chords": "G7"}, chords="A7 D7")

    def test_sections_give_way_to_chords(self) -> None:
        form = made({"sections": [{"name": "A", "chords": "I:8"}]}, chords="I:4")
        assert form.bars == 4


class TestPlaces:
    """An error names the line that is wrong."""

    @pytest.mark.parametrize(
        ("text", "place"),
        [
            ('title = "x"\n\nchords = "Q7"\n', "line 3, chords: chord 1 of 1"),
            ('chords = "I7"\r\n\r\ntempo = 1\r\n', "line 3, tempo"),
            ('# \u2028 \u0085\nchords = "I7"\ntempo = 1\n', "line 3, tempo"),
            ('"chords" = "I7"\n \'tempo\'=1\n', "line 2, tempo"),
            ('chords = "I7"\ntempoo = 1\n', "line 2, tempoo: unknown field"),
            ('[[sections]]\nname = "A"\nchords = "I"\n\n[[sections]]\nname = "B"\n',
             "line 5, sections: section 2: section B has no chords"),
            ('chords = "I7"\nkey = "Gm"\nfeel = "swing"\nmeter = "6/8"\n', "line 3, feel"),
            ('chords = "I7:8"\nturnaround = "I:3"\n', "line 2, turnaround"),
            ('\ufeffchords = "I7"\ntempo = 1\n', "line 2, tempo"),
            ('drums = "rumba"\nchords = "I"\nmeter = "3/4"\n', "line 1, drums"),
        ],
    )  # fmt: skip
    def test_line_is_named(self, tmp_path: Path, text: str, place: str) -> None:
        assert problem(tmp_path, text).startswith(place)

    def test_line_of_broken_toml_is_named(self, tmp_path: Path) -> None:
        assert "not valid TOML: line 2, column" in problem(tmp_path, 'chords = "I"\nkey = G\n')

    @pytest.mark.parametrize(
        ("value", "hint"),
        [
            ("yes", "(write true)"), ("On", "(write true)"), ("True", "(write true)"),
            ("no", "(write false)"), ("off # for now", "(write false)"),
            ("FALSE", "(write false)"), ("maybe", "(text stands in straight quotes"),
        ],
    )  # fmt: skip
    def test_the_error_about_yes_and_no_without_quotes_names_the_right_words(
        self, tmp_path: Path, value: str, hint: str
    ) -> None:
        text = f'chords = "I7:4"\nturnaround = {value}\n'
        assert hint in problem(tmp_path, text)

    def test_file_that_is_overridden_is_not_blamed(self, tmp_path: Path) -> None:
        text = 'chords = "I7"\ndrums = "rumba"\nbass = "tumbao"\n'
        assert problem(tmp_path, text, drums="waltz", bass="walking").startswith("bass: ")

    @pytest.mark.parametrize(
        ("content", "says"),
        [
            (b"", "empty"), (b"\xff\xfe\x00", "UTF-8"), (b" \n", "empty"),
            (b"x" * 2_000_000, "bytes"), (b"a=" + b"[" * 50_000, "nested too deeply"),
        ],
    )  # fmt: skip
    def test_file_that_is_no_form_is_refused(
        self, tmp_path: Path, content: bytes, says: str
    ) -> None:
        assert says in problem(tmp_path, content)

    @pytest.mark.parametrize(
        "name", ["twelve-barr", "x" * 300, "x" * 5000, "", ".", "a/b", "a\0b", "\ud800", "no.toml"]
    )
    def test_form_that_is_not_there_is_a_form_error(self, name: str) -> None:
        with pytest.raises(FormError):
            read_form(name)


class TestNotes:
    """Remarks stand where a reader should know something, and only there."""

    @pytest.mark.parametrize(
        ("file", "note"),
        [
            ({"key": "Am", "chords": "I7:4"}, "key Am: the home chord A7 is major"),
            ({"key": "A", "chords": "i7:4"}, "key A: the home chord Am7 is minor"),
            ({"key": "Am", "chords": "i VI VII i"}, "VI in A minor is F#"),
            ({"key": "Am", "chords": "i:3 III"}, "III in A minor is C#"),
            ({"key": "Am", "chords": "i:4", "turnaround": "VI7 V7"}, "VI7 in A minor is F#7"),
            ({"chords": "I7:4", "drums": "rumba", "tempo": 320}, "tempo 320: rumba sits well"),
            (
                {"key": "G", "chords": "I6 vi V6/ii V2 I6 I:3"},
                "I6 is G6, V6/ii is E6, V2 is Dadd9; inversions are written I/3, V/ii/3, V7/7",
            ),
        ],
    )  # fmt: skip
    def test_remark_is_made(self, file: dict[str, Any], note: str) -> None:
        assert any(text.startswith(note) for text in made(file).notes)

    def test_remark_on_tempo_is_made_for_the_first_and_the_last_chorus_alone(self) -> None:
        file = {"chords": "I7:4", "drums": "rumba", "tempo": 30, "tempo_step": 100}
        notes = made(file, choruses=3).notes
        assert [note.partition(":")[0] for note in notes] == ["tempo 30", "tempo 230"]
        assert made(file | {"tempo_step": 50}, choruses=3).notes == notes[:1]

    @pytest.mark.parametrize(
        "file",
        [
            {"key": "Am", "chords": "i bVI bVII i"}, {"key": "Am", "chords": "A5 D5"},
            {"key": "Am", "chords": "Asus4 D5"}, {"key": "A", "chords": "i5:4"},
            {"key": "C", "chords": "I/3 im6 I6/9 Imaj6"},
            {"key": "A", "chords": "I VI7 III7 V"}, {"key": "Am", "chords": "i7 viiø7 V7 i7"},
        ],
    )  # fmt: skip
    def test_nothing_is_remarked(self, file: dict[str, Any]) -> None:
        assert made(file).notes == ()


toml_values = st.recursive(
    st.none() | st.booleans()
    | st.integers() | st.floats() | st.text(max_size=12) | st.datetimes()
    | st.integers(10**300, 10**400),
    lambda inner: st.lists(inner, max_size=3)
    | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)  # fmt: skip
likely = st.sampled_from(
    ["I7:4", "A7", "i", "G", "Am", "4/4", "6/8", "swing", "straight", 2, 1.5, True, "rumba",
     "walking", "true", "hit", [{"name": "A", "chords": "I7:2"}], [{"name": "A"}], [{}]]
)  # fmt: skip


class TestHostileInput:
    @pytest.mark.parametrize("field", [*FIELDS, "unknown"])
    def test_an_error_about_a_huge_value_is_short(self, field: str) -> None:
        for value in ("x" * 1_000_000, ["x" * 1_000_000], {"a": 1 << 100_000}, 1 << 100_000):
            with pytest.raises(FormError) as error:
                made({"chords": "I7:4"}, **{field: value})
            assert max(map(len, (str(error.value), *error.value.problems))) <= LONGEST_LINE

    def test_an_error_about_a_huge_unknown_field_is_short(self) -> None:
        with pytest.raises(FormError) as error:
            made({"chords": "I7:4"}, **{"x" * 1_000_000: 1})
        assert len(str(error.value)) <= LONGEST_LINE

    def test_an_error_about_a_huge_field_in_a_file_is_short(self, tmp_path: Path) -> None:
        text = problem(tmp_path, f'chords = "I7:4"\n{"k" * 90_000} = 1')
        assert len(text) <= LONGEST_LINE
        assert text.startswith("line 2, kkk")
        assert text.endswith("words")

    @given(
        st.dictionaries(st.sampled_from(list(FIELDS)) | st.text(max_size=8), likely | toml_values,
                        max_size=5),
        st.dictionaries(st.sampled_from(list(FIELDS)), likely, max_size=3),
    )  # fmt: skip
    def test_any_values_make_a_form_or_a_form_error(
        self, file: dict[str, Any], options: dict[str, Any]
    ) -> None:
        try:
            made({"chords": "I7:4"} | file, **options)
        except FormError as error:
            assert all("\n" not in text for text in error.problems)  # noqa: PT017

    @settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
    @given(st.binary(max_size=60) | st.text('chords="I7:4"\n[]=# .\'', max_size=60).map(str.encode))
    def test_any_bytes_make_a_form_or_a_form_error(self, tmp_path: Path, content: bytes) -> None:
        path = tmp_path / "form.toml"
        path.write_bytes(content)
        try:
            read_form(path)
        except FormError as error:
            assert "\n" not in str(error)  # noqa: PT017


@in_turn("drums", library.names("drums"))
def test_a_tempo_left_open_is_an_even_number_inside_the_range_of_the_pattern(drums: str) -> None:
    """Metronome numbers are even up to 120 and mostly beyond (common practice)."""
    low, high = drum_pattern(drums).tempo
    tempo = usual_tempo(drum_pattern(drums))
    assert tempo % 2 == 0
    assert abs(tempo - (low + high) / 2) < 2
