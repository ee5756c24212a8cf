"""The practice plan in words."""

import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

import groove
from groove.form.lesson_fields import LEARNERS
from groove.form.readers import READERS
from groove.handout.chart.written import write_chart
from groove.lesson.guide import write_guide
from groove.lesson.practice_plan import spread
from tests.form.road_material import EXAMPLES
from tests.lesson.guide_material import FORMS, cycle, guide


@pytest.mark.parametrize(
    ("chords", "key", "played"),
    [
        ("Imaj7 bVIIdim7 bIIIdim7 V7", "C", "B♭°7 (B♭ D♭ F♭ G)"),
        ("I7:4 IV7:2 I7:2 V7 IV7 I7:2", "Gb", "C♭7 (C♭ E♭ G♭ A)"),
    ],
)
def test_the_plan_names_notes_as_they_are_played(chords: str, key: str, played: str) -> None:
    """A natural for a double flat: common practice where a player reads in a hurry."""
    form = groove.read_form("twelve-bar", chords=chords, key=key)
    steps = [step.words for step in write_guide(form).plan.steps]
    assert any(played in words for words in steps)
    assert not any("♭♭" in words for words in steps)


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
    """The fifth of a chord without a seventh is no guide tone; G is the nearest to G."""
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


def test_plan_says_the_tempo_to_start_at_and_takes_the_next_when_one_is_safe() -> None:
    plan = write_guide(groove.read_form("twelve-bar", tempo=152)).plan
    assert plan.tempo_words[0].startswith(f"Start at {plan.start}: ")
    assert plan.tempo_words[0].endswith("tick the tempo and take the next.")


def test_plan_of_a_key_cycle_names_the_keys_in_their_order() -> None:
    asked = {"key": "C", "choruses": 14, "key_cycle": "fourths"}
    plan = write_guide(groove.read_form("twelve-bar", **asked)).plan  # type: ignore[arg-type]
    said = "C F B♭ E♭ A♭ D♭ G♭ B E A D G, and round again. So the steps count notes from the tonic"
    assert said in " ".join(plan.tempo_words)
    assert plan.steps[-1].words.endswith("a tone of F7.")  # in the key of the last chorus


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


@pytest.mark.parametrize("tempo", [60, 71, 75, 92, 100, 113, 152, 201, 300])
def test_ladder_rises_by_the_step_from_the_start_to_the_tempo_of_the_track(tempo: int) -> None:
    plan = write_guide(groove.read_form("twelve-bar", tempo=tempo)).plan
    assert (plan.ladder[0], plan.ladder[-1]) == (plan.start, tempo)
    rises = [high - low for low, high in pairwise(plan.ladder)]
    assert all(rise == plan.step for rise in rises[:-1])
    assert all(0 < rise <= plan.step for rise in rises)


@pytest.mark.parametrize("form", [*FORMS, str(EXAMPLES["latin-swing-aaba"])])
@pytest.mark.parametrize("learner", LEARNERS)
def test_each_step_has_its_minutes_and_something_to_listen_for(form: str, learner: str) -> None:
    plan = write_guide(groove.read_form(form, learner=learner)).plan
    assert len(plan.steps) >= 4
    assert all(2 <= step.minutes <= 6 and step.listen for step in plan.steps)
    assert f" {sum(step.minutes for step in plan.steps)} minutes" in plan.session
    assert len({step.listen for step in plan.steps}) == len(plan.steps)


def test_a_step_takes_the_minutes_that_its_part_lasts_at_the_starting_tempo() -> None:
    """32 bars of 4/4 at 60 last 128 seconds, and a step takes two times round of them."""
    form = groove.read_form("rhythm-changes", tempo=60, feel="straight", choruses=14)
    assert [step.minutes for step in write_guide(form).plan.steps][:2] == [5, 5]


def test_a_beginner_plays_one_scale_and_roots_and_no_guide_tone_lines() -> None:
    beginner, others = (
        [step.title for step in write_guide(groove.read_form("twelve-bar", learner=who)).plan.steps]
        for who in ("beginner", "intermediate")
    )
    assert "Roots on the change" in beginner
    assert not {"The guide-tone lines", "Roots and thirds on the change"} & set(beginner)
    assert "Roots on the change" not in others


def test_what_to_listen_for_goes_by_the_kind_of_form_and_the_learner() -> None:
    def listen(form: str, learner: str) -> str:
        steps = write_guide(groove.read_form(form, learner=learner)).plan.steps
        return next(step.listen for step in steps if step.title == "One position")

    asked = [(form, "intermediate") for form in ("twelve-bar", "minor-twelve-bar", "minor-vamp")]
    asked += [("twelve-bar", who) for who in ("beginner", "advanced")]
    assert len({listen(*each) for each in asked}) == len(asked)
