"""The report tells people and programs the same."""

from __future__ import annotations

from dataclasses import replace

from groove.sound.report import Report

REPORT = Report(
    seconds=61.0,
    parts=("drums", "bass"),
    levels=None,
    comping_share=None,
    gain=18.0,
    short=0.0,
    played={"drums": -35.0, "bass": -34.0},
    faders={"drums": -1.5, "bass": 0.5},
    compressors={"drums": 5.1, "bass": 0.0},
    limiter=2.04,
    part_limiters={"drums": 4.2, "bass": 3.9},
    together=5.96,
    soundfont="Village Hall",
    licence="CC0",
)


def test_every_limiter_and_their_sum_stand_in_the_text() -> None:
    said = "limiter: 2.0 dB at most; on parts: drums 4.2, bass 3.9; together 6.0 dB at the worst"
    assert any(line.startswith(said) for line in REPORT.lines())


def test_where_no_part_is_limited_there_is_no_sum() -> None:
    alone = replace(REPORT, part_limiters={}, together=2.04)
    assert "limiter: 2.0 dB at most" in alone.lines()


def test_every_limiter_and_their_sum_stand_in_the_facts() -> None:
    facts = REPORT.facts()
    assert (facts["limiter"], facts["together"]) == (2.04, 5.96)
    assert facts["part_limiters"] == {"drums": 4.2, "bass": 3.9}


def test_the_words_of_the_credits_stand_in_the_text_and_in_the_facts() -> None:
    said = replace(REPORT, credits="Sounds from Village Hall (CC0).")
    assert said.lines()[-1] == "credits: Sounds from Village Hall (CC0)."
    assert said.facts()["credits"] == said.credits


def test_every_fader_and_each_compressor_at_work_stand_in_the_text() -> None:
    assert "faders: drums -1.5, bass +0.5 dB" in REPORT.lines()
    assert "compressors: drums 5.1 dB at most" in REPORT.lines()
