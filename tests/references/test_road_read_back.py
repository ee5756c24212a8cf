"""Markers, signatures, keys and tempi of arrangements, read by mido, pretty_midi and music21."""

from __future__ import annotations

from functools import cache
from io import BytesIO
from pathlib import Path

import mido
import pretty_midi
import pytest
from music21 import converter, meter

from groove.band.plan.planner import planned
from groove.band.take import play, record
from groove.form.chart import Chart
from groove.sound.midi import midi_file
from tests.form.road_material import EXAMPLES, example


@cache
def written(name: str) -> mido.MidiFile:
    chart = example(name)
    return midi_file(record(planned(chart), play(planned(chart)), straight=True))


def events(file: mido.MidiFile, kind: str) -> list[tuple[int, mido.MetaMessage]]:
    found, tick = [], 0
    for message in file.tracks[0]:
        tick += message.time
        if message.type == kind:
            found.append((tick, message))
    return found


def changed(chart: Chart, of: str) -> list[tuple[int, object]]:
    """The tick and the value of each bar in which a metre or key differs from the one before."""
    found: list[tuple[int, object]] = []
    for bar in chart.bars:
        value = getattr(bar, of)
        if not found or found[-1][1] != value:
            found.append((bar.start if found else 0, value))
    return found


@pytest.mark.parametrize("name", EXAMPLES)
def test_mido_reads_a_marker_for_every_section_of_every_line(name: str) -> None:
    markers = [(tick, message.text) for tick, message in events(written(name), "marker")]
    passes = [(played.start, played.marker) for played in example(name).passes]
    assert [marker for marker in markers if marker[1] not in ("Count-in", "Ending")] == passes
    assert len({tick for tick, _ in markers}) == len(markers)


def test_markers_say_which_time_of_which_line() -> None:
    texts = [message.text for _, message in events(written("latin-swing-aaba"), "marker")]
    assert texts.count("solos 2 of 3: B") == 1
    assert texts[:3] == ["Count-in", "Intro", "Intro"]


@pytest.mark.parametrize("name", EXAMPLES)
def test_mido_reads_signatures_and_keys_where_they_change(name: str) -> None:
    chart = example(name)
    signatures = [
        (tick, (event.numerator, event.denominator))
        for tick, event in events(written(name), "time_signature")
    ]
    meters = [(tick, (m.numerator, m.denominator)) for tick, m in changed(chart, "meter")]  # type: ignore[attr-defined]
    assert signatures == meters
    keys = [(tick, event.key) for tick, event in events(written(name), "key_signature")]
    assert keys == [(tick, key.symbol) for tick, key in changed(chart, "key")]  # type: ignore[attr-defined]


@pytest.mark.parametrize("name", EXAMPLES)
def test_pretty_midi_hears_each_bar_at_the_charts_time(name: str) -> None:
    chart = example(name)
    content = BytesIO()
    written(name).save(file=content)
    read = pretty_midi.PrettyMIDI(BytesIO(content.getvalue()))
    for bar in chart.bars[::7]:
        assert read.tick_to_time(bar.start) == pytest.approx(chart.seconds(bar.start), abs=0.002)


def test_music21_reads_the_metres_of_a_road_that_changes_them(tmp_path: Path) -> None:
    path = tmp_path / "road.mid"
    written("modal-vamp").save(path)
    score = converter.parse(path)
    read = [
        (float(found.getOffsetInHierarchy(score)), found.ratioString)
        for found in score.parts[0].recurse().getElementsByClass(meter.TimeSignature)
    ]
    expected = [(tick / 960, str(m)) for tick, m in changed(example("modal-vamp"), "meter")]
    assert [ratio for _, ratio in read] == [ratio for _, ratio in expected]
    assert [offset for offset, _ in read] == pytest.approx([offset for offset, _ in expected])


@pytest.mark.parametrize("name", EXAMPLES)
def test_each_player_has_a_track_and_all_end_together(name: str) -> None:
    file = written(name)
    names = [track.name for track in file.tracks]
    assert len(set(names)) == len(names)
    assert {sum(message.time for message in track) for track in file.tracks} == {example(name).end}
