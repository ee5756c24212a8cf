"""The estimate of files, bytes and seconds before a pack is made."""

from __future__ import annotations

import pytest

import groove
from groove.handout.pack.estimate import STARTING, estimate
from groove.handout.pack.plan import Task, plan_pack
from groove.sound.options import wanted
from groove.sound.synth.soundfonts import find_fonts


def _tasks(audio: str = "mp3") -> tuple[Task, ...]:
    form = groove.read_form("twelve-bar")
    font = find_fonts(None, {}, [])
    return plan_pack(form, [[form]], wanted(audio, {}), font).tasks


def test_two_cores_that_are_free_take_half_as_long_as_one() -> None:
    one, two = (estimate(_tasks(), _tasks(), cores).seconds - STARTING for cores in (1, 2))
    assert one == pytest.approx(2 * two)


def test_cores_that_others_keep_busy_are_shared_with_them() -> None:
    free, busy = (estimate(_tasks(), _tasks(), 2, load) for load in (0.0, 2.0))
    assert busy.seconds - STARTING == pytest.approx(2 * (free.seconds - STARTING))
    assert "busy with other things too" in str(busy)
    assert "busy" not in str(free)


def test_one_core_is_busy_and_two_are() -> None:
    one, two = (str(estimate(_tasks(), _tasks(), cores, 2.0)) for cores in (1, 2))
    assert "on 1 core, which is busy" in one
    assert "on 2 cores, which are busy" in two


def test_a_core_that_is_left_over_is_not_missed() -> None:
    free, busy = (estimate(_tasks(), _tasks(), 8, load) for load in (0.0, 4.0))
    assert free == busy


def test_what_is_played_takes_longer_the_more_files_there_are_of_it() -> None:
    seconds = [
        estimate(_tasks(audio), (), 1).seconds for audio in ("none", "wav", "mp3", "mp3,ogg")
    ]
    assert seconds == sorted(seconds)
    assert len(set(seconds)) == 4
