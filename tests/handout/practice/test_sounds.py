"""The sounds that the practice page needs: strokes, pitches and instruments of its parts."""

from __future__ import annotations

from groove.handout.practice.data import page_data
from groove.handout.practice.sounds import APART, CLICKS, STEP, instruments
from groove.handout.practice.streams import rows_of
from groove.rhythm.kit import KIT
from tests.form.road_material import arranged
from tests.handout.practice.page_material import data_in_one_key, data_of, each


@each
def test_every_pitch_that_is_played_has_a_sound_near_by(name: str) -> None:
    data = data_of(name)
    recorded = {one.name: {wish.pitch for wish in one.wishes} for one in instruments(data)}
    for part in ("drums", "bass", "comping"):
        reach = 0 if part == "drums" else STEP // 2
        for key in data["keys"]:
            for _, _, pitch, _, _ in rows_of(data["streams"], key["round"][part]):
                assert min(abs(pitch - near) for near in recorded[part]) <= reach


@each
def test_no_stroke_of_the_kit_is_harder_than_the_hardest_that_is_recorded(name: str) -> None:
    data = data_of(name)
    (drums,) = (one for one in instruments(data) if one.name == "drums")
    strengths: dict[int, list[int]] = {}
    for wish in drums.wishes:
        strengths.setdefault(wish.pitch, []).append(wish.velocity)
    for _, _, pitch, velocity, _ in rows_of(data["streams"], data["keys"][0]["round"]["drums"]):
        assert velocity <= strengths[pitch][-1]
    assert all(b - a >= APART for a, *more in strengths.values() for b in more)
    assert strengths[data["click"]][-1] >= max(CLICKS)


def test_a_piano_is_recorded_in_stereo_and_at_two_strengths() -> None:
    piano, organ = (
        next(one for one in instruments(data_in_one_key("one-chord-vamp", **options))
             if one.name == "comping")
        for options in ({"drums": "shuffle", "comping": "boogie-piano"}, {"comping": "pads-organ"})
    )  # fmt: skip
    assert (piano.stereo, organ.stereo) == (True, False)
    pitches = [wish.pitch for wish in piano.wishes]
    assert len(pitches) == 2 * len(set(pitches))
    assert len(organ.wishes) == len({wish.pitch for wish in organ.wishes})


def test_percussion_is_recorded_stroke_by_stroke_and_without_the_click() -> None:
    data = data_in_one_key("one-chord-vamp", drums="two-beat", percussion="shaker, triangle")
    recorded = {each.name: each for each in instruments(data)}
    pitches = {wish.pitch for wish in recorded["percussion"].wishes}
    assert recorded["percussion"].is_kit
    assert pitches == {KIT[row].note for row in ("maracas", "triangle-mute", "triangle")}
    assert data["click"] in {wish.pitch for wish in recorded["drums"].wishes}


def test_a_player_who_changes_the_instrument_has_a_sound_for_each() -> None:
    sections = [
        {"name": "A", "chords": "I:2"},
        {"name": "B", "chords": "I:2", "instrument": {"bass": "fretless-bass"}},
    ]
    data = page_data(
        arranged(sections=sections, order=["A, B"], instrument={"bass": "slap bass 1"})
    )
    found = {one.name: one.program for one in instruments(data)}
    assert (found["bass"], found["bass 35"]) == (36, 35)
    (bass,) = [part for part in data["parts"] if part["name"] == "bass"]
    assert bass["programs"] == [[2 * data["barTicks"], 35]]
