"""A made-up written chart that has every mark."""

from __future__ import annotations

from dataclasses import replace

from groove.form.chart import Figure, FigureStroke
from groove.form.readers import READERS
from groove.handout.chart.bar import Change, WrittenBar, WrittenChord
from groove.handout.chart.figures import with_rhythms
from groove.handout.chart.written import WrittenChart
from groove.rhythm.meter import Meter
from groove.theory.chords import parse_chord
from groove.theory.keys import Key

FOUR, SEVEN, TWO, SLOW = (Meter.parse(name) for name in ("4/4", "2+2+3/8", "2/4", "6/8"))
F, G = Key.parse("F"), Key.parse("G")


def bar(symbols: str, meter: Meter = FOUR, **marks: object) -> WrittenBar:
    """A bar with chords at even distances; ``~`` before one pushes it."""
    names = symbols.split()
    length = meter.bar_ticks // len(names)
    chords = tuple(
        WrittenChord(
            number * length, length, parse_chord(name.strip("~")), "I", 480 * (name[0] == "~")
        )
        for number, name in enumerate(names)
    )
    return replace(WrittenBar(chords, meter), **marks)  # type: ignore[arg-type]


def figure(text: str, meter: Meter = FOUR, *, alone: bool = False, early: int = 0) -> Figure:
    """Strokes from box notation; the first comes so many ticks early."""
    unit = meter.bar_ticks // len(text)
    strokes = []
    for place, sign in enumerate(text):
        if sign in "xX":
            held = len(text[place + 1 :]) - len(text[place + 1 :].lstrip("-"))
            strokes.append(FigureStroke(place * unit, (1 + held) * unit, sign == "X"))
    if early:
        first = strokes[0]
        strokes[0] = FigureStroke(first.start - early, first.length + early, first.accent)
    return Figure(0, meter.bar_ticks, tuple(strokes), alone)


def marked_chart() -> WrittenChart:
    """Intro, a strip with endings, segno and coda, and all other marks on the way."""
    made: list[tuple[WrittenBar, Figure | None]] = [
        (bar("Gm7/C", section="Intro", opens=True, pedal="pedal C", dynamic="p", hairpin="<",
             words=("drums and bass, second time all",)), None),
        (bar("C7sus4", pedal="pedal C", hairpin="<"), None),
        (bar("Gm7/C", pedal="pedal C", hairpin="<"), None),
        (bar("C7sus4", pedal="pedal C", hairpin="<", dynamic_after="mf", closes=True, times=4,
             ends_section=True), None),
        (bar("Fmaj7", letter="A", section="A", opens=True, segno=True, dynamic="mf",
             change=Change(feel="Latin"), words=("head, solos 3 times",),
             lyrics=("1. Down where the ropes are wet and the tide comes in",
                     "2. Nobody told me")), None),
        (bar("Fmaj7"), None),
        (bar("Gm7"), None),
        (bar("C7"), None),
        (bar("Am7"), None),
        (bar("~D7b9", to_coda=True), figure("x..x..x.", early=480)),
        (bar("Gm7", bracket="1.", in_bracket=True), None),
        (bar("C7", in_bracket=True, closes=True), None),
        (bar("Gm7 C7", bracket="2.", in_bracket=True), None),
        (bar("F6", in_bracket=True, ends_section=True), None),
        (bar("Cm7", letter="B", section="Bridge", change=Change(feel="Swing", swing_ratio=2.0),
             words=("half-time feel",)), None),
        (bar("F7"), figure("X..xx---")),
        (bar("Bbmaj7"), figure("x.x.xx.x....x...")),
        (bar("Bb7", words=("drums 4",)), figure("xxx...xxx...")),
        (bar("F7", words=("stops",)), figure("X...", alone=True)),
        (bar("Bb7"), figure("X..X....", alone=True)),
        (bar("F7"), figure("....", alone=True)),
        (bar("Bb7 C7", jump="D.S. al Coda", ends_section=True), figure("x--x--x-", alone=True)),
        (bar("Am7", coda=True, section="Coda", ends_section=True), None),
        (bar("Dm9", SEVEN, section="Seven", change=Change(meter=True, key=G, home="G major",
             tempo=132.0, beat=(480, 480)), words=("on cue: to the next line", "bass alone")),
         None),
        (bar("G13/D", SEVEN), None),
        (bar("Dm9", TWO, change=Change(meter=True)), None),
        (bar("~Ebmaj7#11", FOUR, change=Change(meter=True), ends_section=True), None),
        (bar("Dm9", SLOW, section="Slow", change=Change(meter=True, tempo=52.0), rit="rit.",
             dynamic="f", hairpin=">"), None),
        (bar("Ebmaj7", SLOW, rit="rit.", hairpin=">", dynamic_after="pp"), None),
        (bar("Dm9", SLOW, rit="rit.", fermata=0, last=True), None),
    ]  # fmt: skip
    numbered = [replace(each, number=n) for n, (each, _) in enumerate(made, 1)]
    bars = with_rhythms(numbered, [found for _, found in made], [False] * len(made))
    lines, at = [], 0
    for size in (4, 4, 4, 2, 4, 4, 1, 4, 3):
        lines.append(tuple(bars[at : at + size]))
        at += size
    road = "Intro 4 times, head, solos 3 times, D.S. al Coda, seven, slow."
    return WrittenChart(
        "Every Sign", F, "F major", F, FOUR, 172.0, "Latin", 1.0, "eighth", 1,
        READERS["concert"], tuple(lines), road,
    )  # fmt: skip
