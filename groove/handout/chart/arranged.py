"""The bars of an arrangement as they are written: the folded road with all its marks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import groupby

from groove.form.chart import Bar, Chart
from groove.form.harmony import form_harmony
from groove.form.model import Form
from groove.form.road.directions import DYNAMICS
from groove.form.road.fold import fold, road_words
from groove.form.road.fold_words import dynamics_words, swell_of
from groove.form.road.folded import Folded, Note, Repeat, Strip
from groove.form.setting import Setting
from groove.handout.chart.bar import NO_CHANGE, Change, MelodyNote, WrittenBar, WrittenChord
from groove.handout.chart.figures import ending_bars, with_rhythms
from groove.theory.keys import Key
from groove.theory.symbols import blues_words, key_words, noted, numeral, symbol
from groove.wording import said


def arranged(
    chart: Chart, melody: Mapping[int, tuple[MelodyNote, ...]]
) -> tuple[list[WrittenBar], str]:
    """The bars of a road as they are written, and the road in words, empty without an order.

    melody: the notes of bars of the chart by their index.
    """
    folded = fold(chart)
    bars: list[WrittenBar] = []
    shown: list[Bar] = []
    for index, strip in enumerate(folded.strips):
        written = _strip(chart, folded, index)
        tunes = [melody.get(bar, ()) for bar in strip.bars]
        written = [replace(b, melody=tune) for b, tune in zip(written, tunes, strict=True)]
        if folded.back:
            written = _with_return(folded, index, written)
        bars += written
        shown += [chart.bars[bar] for bar in strip.bars]
    bars[-1] = replace(bars[-1], last=not chart.ending)
    figures = [bar.figure for bar in shown]
    if chart.ending:
        finish, struck = ending_bars(chart, written_bar)
        coda = folded.back is not None and folded.back.after == len(folded.strips) - 1
        finish[0] = replace(finish[0], coda=coda)
        shown += chart.ending
        bars += finish
        figures += struck
    whole = dynamics_words(chart.form.own.get("dynamics", ()))
    sign, told = (whole, ()) if whole in DYNAMICS else ("", (whole,) if whole else ())
    first = bars[0]
    words = (*_pickup(chart), *told, *first.words)
    bars[0] = replace(first, words=words, dynamic=first.dynamic or sign)
    bars = with_changes(bars, shown, form_harmony(chart.form).kind)
    triplets = [bar.drums.grid.is_triplet and not bar.meter.is_compound for bar in shown]
    return with_rhythms(bars, figures, triplets), road_words(chart, folded)


def _pickup(chart: Chart) -> tuple[str, ...]:
    """The chords under the end of the count-in, in words."""
    names = [str(symbol(slot.chord)) for slot in chart.changes if slot.start < chart.start]
    if not names or not chart.form.pickup:
        return ()
    return (said("chart", "marks.pickup", chords=" ".join(names)),)


def written_bar(bar: Bar) -> WrittenBar:
    """A bar with its chords and the note that the bass holds."""
    chords = tuple(
        WrittenChord(
            slot.start - bar.start,
            slot.length,
            slot.chord,
            "" if slot.silent else numeral(slot.chord, bar.key),
            slot.early,
            slot.silent,
            slot.root_only,
        )
        for slot in bar.slots
    )
    held = bar.slots[0].pedal
    pedal = said("chart", "marks.pedal", note=noted(str(held))) if held is not None else ""
    sharps = bar.key.signature
    return WrittenBar(chords, bar.meter, number=bar.road, pedal=pedal, signature=sharps)


def _strip(chart: Chart, folded: Folded, index: int) -> list[WrittenBar]:
    """The bars of a strip with repeat signs, names and words."""
    strip = folded.strips[index]
    bars = [written_bar(chart.bars[bar]) for bar in strip.bars]
    way = strip.walk()
    first = strip.readings[0].bars[0]
    bars = [replace(bar, number=first + way.index(at) + 1) for at, bar in enumerate(bars)]
    for heading in strip.headings:
        name, letter = heading.name, heading.letter
        bars[heading.at] = replace(bars[heading.at], section=name, letter=letter)
        if heading.at:
            bars[heading.at - 1] = replace(bars[heading.at - 1], ends_section=True)
    bars[-1] = replace(bars[-1], ends_section=True)
    for repeat in strip.repeats:
        _set_repeat(bars, repeat)
    if strip.times > 1 and not strip.repeats:
        bars[0] = replace(bars[0], opens=True)
        bars[-1] = replace(bars[-1], closes=True, times=strip.times)
    elif strip.times > 1:
        top = said("road", "way.top")
        if strip.headings:
            top = strip.headings[0].letter or strip.headings[0].name
        bars[0] = replace(bars[0], tops=True)
        bars[-1] = replace(bars[-1], again=said("road", "way.back_to", top=top, number=strip.times))
    told = tuple(words for found in strip.readings if (words := ", ".join(found.words)))
    only = strip.readings[0].words if len(strip.readings) == 1 else ()
    if len(chart.form.sections) == 1 and only:
        name = only[0][:1].upper() + only[0][1:]
        bars[0] = replace(bars[0], section=name)
        told = (", ".join(only[1:]),) if only[1:] else ()
    _set_notes(chart, strip, bars)
    bars[0] = replace(bars[0], words=told + bars[0].words)
    for at, rows in _lyrics(chart, folded, index).items():
        bars[at] = replace(bars[at], lyrics=rows)
    return bars


def _set_repeat(bars: list[WrittenBar], repeat: Repeat) -> None:
    """Set repeat signs and brackets."""
    bars[repeat.first] = replace(bars[repeat.first], opens=True)
    end = repeat.last - 1
    if not repeat.endings:
        bars[end] = replace(bars[end], closes=True, times=repeat.times)
        return
    for ending in repeat.endings:
        for at in range(ending.first, ending.last):
            bars[at] = replace(bars[at], in_bracket=True)
        if ending.first == ending.last:
            continue
        label = _numbers(ending.numbers)
        bars[ending.first] = replace(bars[ending.first], bracket=label)
        again = ending.numbers != (repeat.times,)
        if again:
            bars[ending.last - 1] = replace(bars[ending.last - 1], closes=True)


def _numbers(times: Sequence[int]) -> str:
    """The numbers of the times of an ending: ``1.–3., 5.``."""
    runs: list[list[int]] = []
    for time in times:
        if runs and runs[-1][-1] + 1 == time:
            runs[-1].append(time)
        else:
            runs.append([time])
    return ", ".join(f"{r[0]}.–{r[-1]}." if len(r) > 1 else f"{r[0]}." for r in runs)


def _with_return(folded: Folded, index: int, bars: list[WrittenBar]) -> list[WrittenBar]:
    """The bars of a strip with segno, the way to the coda, D.S. and coda where they stand there."""
    back = folded.back
    assert back
    bars = list(bars)
    if index == back.strip:
        words = ", ".join(back.reading.words)
        told = (f"D.S.: {words}",) if words else ()
        at = bars[back.segno]
        bars[back.segno] = replace(at, segno=True, words=at.words + told)
        leaves = bars[back.leaves]
        if back.fine:
            bars[back.leaves] = replace(leaves, fine=True)
        else:
            bars[back.leaves] = replace(leaves, to_coda=True)
    if index == back.after:
        bars[-1] = replace(bars[-1], jump=back.text, ends_section=True)
    if index == back.after + 1 and not back.fine:
        bars[0] = replace(bars[0], coda=True)
    return bars


def _set_notes(chart: Chart, strip: Strip, bars: list[WrittenBar]) -> None:
    """Set the words over the bars of a strip, and its loudness, ritardandi and fermatas."""
    starts = [heading.at for heading in strip.headings if heading.at] + [len(bars)]
    for note in strip.notes:
        end = next(start for start in starts if start > note.at)
        at = bars[note.at]
        if note.kind == "feel":
            words = ", ".join(word for word in (at.change.feel, note.text) if word)
            bars[note.at] = replace(at, change=replace(at.change, feel=words))
        elif note.kind == "rit":
            for bar in range(note.at, end):
                bars[bar] = replace(bars[bar], rit=note.text)
        elif note.kind == "fermata":
            held = chart.bars[strip.bars[note.at]]
            tick = held.slots[-1].start if held.held is None else held.held
            words_ = (
                (*at.words, said("road", "way.hold", times=note.text)) if note.text else at.words
            )
            bars[note.at] = replace(at, fermata=max(0, tick - held.start), words=words_)
        elif note.kind != "dynamics" or not _set_loudness(note, end, bars):
            bars[note.at] = replace(bars[note.at], words=(*at.words, note.text))
    alone = [chart.bars[bar].drums_alone for bar in strip.bars]
    at_bar = 0
    for traded, group in groupby(alone):
        size = len(list(group))
        if traded:
            here = bars[at_bar]
            bars[at_bar] = replace(
                here, words=(*here.words, said("road", "players.drums_alone", number=size))
            )
        at_bar += size


def _set_loudness(note: Note, end: int, bars: list[WrittenBar]) -> bool:
    """Set a sign of loudness, or a hairpin up to the end of a section; False if a note is none."""
    if note.text in DYNAMICS:
        bars[note.at] = replace(bars[note.at], dynamic=note.text)
        return True
    swell = swell_of(note.text)
    if not swell:
        return False
    first, last = swell
    hairpin = "<" if DYNAMICS[first] < DYNAMICS[last] else ">"
    for at in range(note.at, end):
        bars[at] = replace(bars[at], hairpin=hairpin)
    bars[note.at] = replace(bars[note.at], dynamic=first)
    bars[end - 1] = replace(bars[end - 1], dynamic_after=last)
    return True


def _lyrics(chart: Chart, folded: Folded, index: int) -> Mapping[int, tuple[str, ...]]:
    """The rows of lyrics at the positions of a strip, numbered where there are several."""
    strip = folded.strips[index]
    texts = {played.first: played.lyrics for played in chart.passes if played.lyrics}
    way = strip.walk()
    sung: dict[int, list[str]] = {}
    for found in strip.readings:
        for number, bar in enumerate(range(*found.bars)):
            if bar in texts:
                sung.setdefault(way[number % len(way)], []).append(texts[bar])
    return {
        at: tuple(rows)
        if len(rows) == 1
        else tuple(f"{number}. {row}" for number, row in enumerate(rows, 1))
        for at, rows in sung.items()
    }


def with_changes(bars: Sequence[WrittenBar], shown: Sequence[Bar], kind: str) -> list[WrittenBar]:
    """The bars with the changes of metre, key, tempo and feel from any bar they are read after."""
    found = list(bars)
    for index, before in enumerate(_read_after(bars)):
        here, others = shown[index], [shown[number] for number in before]
        bar, feel = bars[index], bars[index].change.feel if index else ""
        key = here.key if any(other.key != here.key for other in others) else None
        if key is not None and index:
            found[index - 1] = replace(found[index - 1], ends_section=True)
        rates = [round(here.setting.rate / other.setting.rate, 4) for other in others]
        faster = any(rate != 1 for rate in rates)
        change = Change(
            meter=any(str(other.meter) != str(here.meter) for other in others),
            key=key,
            home=_home(key, kind) if key else "",
            tempo=round(here.setting.tempo, 1) if faster else None,
            beat=_equal_notes(others[0].setting, here.setting) if bar.section and others else None,
            feel=feel,
            swing_ratio=here.setting.swing_ratio,
            swing_type="16th" if here.drums.swing_ticks < here.meter.beat_ticks else "eighth",
        )
        plain = not (change.meter or key or faster or change.beat or feel)
        found[index] = replace(bar, change=NO_CHANGE if plain else change)
    return found


def _home(key: Key, kind: str) -> str:
    """A key in words: ``B♭ major``, or as the home of a blues ``B♭ blues``."""
    return (
        blues_words(key.tonic, "blues")
        if "blues" in kind and key.mode == "major"
        else key_words(key)
    )


def _read_after(bars: Sequence[WrittenBar]) -> list[list[int]]:
    """The bars after which each is read: first the one before it on paper, or, for a later ending
    and a coda, the one before the first ending and the one that leads to the coda."""
    before: list[list[int]] = [[]]
    top = opened = body = leaves = segno = 0
    for index, bar in enumerate(bars):
        if index:
            last = bars[index - 1]
            later = bar.bracket and last.in_bracket
            before.append([body if later else leaves if bar.coda else index - 1])
            body = index - 1 if bar.bracket and not later else body
        opened = index if bar.opens else opened
        top = index if bar.tops else top
        segno = index if bar.segno else segno
        leaves = index if bar.to_coda else leaves
        if bar.closes:
            before[opened].append(index)
        if bar.again:
            before[top].append(index)
        if bar.jump:
            before[segno].append(index)
    return before


def _equal_notes(before: Setting, here: Setting) -> tuple[int, int] | None:
    """The note values that are equally long where a section changes what the beat is."""
    old, new = before.meter, here.meter
    if (old.denominator, old.is_compound) == (new.denominator, new.is_compound):
        return None
    if round(here.rate / before.rate, 4) == 1:
        shorter = min(old.unit_ticks, new.unit_ticks)
        return shorter, shorter
    if round(here.tempo / before.tempo, 4) == 1:
        return old.beat_ticks, new.beat_ticks
    return None


def is_arranged(form: Form) -> bool:
    """True if a form has more than chords that go round: an order, directions, changes of metre."""
    own = form.own.fields or any(s.own.fields or s.time_bars for s in form.sections)
    spans = (span for section in form.sections for span in section.all_spans)
    return bool(form.order or own or any(span.meter for span in spans))
