"""The lesson sheet as Markdown that reads well as plain text."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from urllib.parse import quote

from groove.handout.chart.text import chart_text
from groove.handout.sheet.along_blocks import along_text
from groove.handout.sheet.first_page import main_rows
from groove.handout.sheet.grip_blocks import grips_text
from groove.handout.sheet.lines.line_text import (
    answers_text,
    bass_text,
    guide_tones_text,
    licks_text,
    solo_text,
    teacher_phrases_text,
)
from groove.handout.sheet.neck_text import diagram, scale_necks_text
from groove.handout.sheet.neck_words import (
    hand_words,
    left_hand_words,
    named,
    position_title,
    stops_words,
)
from groove.handout.sheet.phrase_text import fenced, phrase_text
from groove.handout.sheet.sheet import Sheet
from groove.handout.sheet.words import (
    beyond_words,
    built_line,
    change_title,
    chords_words,
    entries,
    entry_line,
    form_line,
    key_chords,
    keys_words,
    kind_line,
    names_of,
    names_words,
    notes_line,
    numbered_lines,
    plan_rows,
    said_once,
    section_about,
    section_choices,
    section_chords,
    section_guide_tones,
    section_lines,
    section_lines_title,
    section_title,
    tones_lines,
    watch_line,
)
from groove.instrument.fretboard import Tuning
from groove.instrument.positions import Position
from groove.instrument.tablature import tablature
from groove.lesson.blocks import heading_of
from groove.lesson.chord_guides import ChordGuide
from groove.lesson.form_scales import Choice
from groove.lesson.guide import Guide
from groove.lesson.section_guides import LineGuide
from groove.lesson.voice import SILENT, TeacherVoice
from groove.theory.symbols import noted, signs, symbol
from groove.wording import said, words_of

MARKUP = re.compile(r"[\\`*_\[\]~|]|(?<!\S)#|^[-+=]|(?<=\d)[.)](?!\S)")
ENTITIES = {"&": "&amp;", "<": "&lt;", ">": "&gt;"}
"""Escaped as entities, which older readers of Markdown know too."""

IN_LINKS = ":/?#@!$&'*+,;=%~"
"""The signs of an address that stand in a link of Markdown as they are."""


def sheet_markdown(sheet: Sheet) -> str:
    """The whole sheet, ending in a newline."""
    voice, lesson = sheet.voice, sheet.guide.form.lesson
    sheet = replace(sheet, guide=_escaped(sheet.guide))
    parts: list[Sequence[str]] = [[f"# {sheet.title}"], *_byline(voice)]
    for name in sheet.blocks:
        if name in PARTS:
            made = PARTS[name](sheet)
            told = [[f"*{escaped(words)}*"] for words in lesson.remarks_at(name) if made]
            parts += [*made[:1], *told, *made[1:]]
    parts += [[f"**{escaped(voice.invite)}**"], *_byline(voice)] if voice.invite else []
    return "\n\n".join("\n".join(lines) for lines in parts) + "\n"


def escaped(text: str) -> str:
    """Text that Markdown shows as it is: no markup, no HTML, no line break.

    >>> print(escaped("1. Slow *blues* in F# <b>"))
    1\\. Slow \\*blues\\* in F# &lt;b&gt;
    """
    marked = MARKUP.sub(lambda match: "\\" + match.group(), " ".join(text.split()))
    return "".join(ENTITIES.get(sign, sign) for sign in marked)


def _escaped(guide: Guide) -> Guide:
    """The guide with the title and the names of sections and lines escaped.

    All else that a user writes reaches a sheet as chords, notes and strings that were read.
    """
    form = guide.form
    named = tuple(replace(section, name=escaped(section.name)) for section in form.sections)
    form = replace(form, title=escaped(form.title), sections=named)
    if not guide.sections:
        return replace(guide, form=form)
    sections = tuple(
        replace(
            section,
            name=escaped(section.name),
            played_in=tuple(escaped(line) for line in section.played_in),
        )
        for section in guide.sections
    )
    times = tuple(replace(time, line=escaped(time.line)) for time in guide.ground.times)
    return replace(
        guide,
        form=form,
        sections=sections,
        road=escaped(guide.road),
        road_lines=tuple(
            LineGuide(escaped(line.name), escaped(line.words)) for line in guide.road_lines
        ),
        chords=tuple(replace(entry, place=escaped(entry.place)) for entry in guide.chords),
        changes=tuple(replace(made, onward=escaped(made.onward)) for made in guide.changes),
        others=tuple(
            replace(row, lines=tuple(escaped(line) for line in row.lines)) for row in guide.others
        ),
        ground=replace(guide.ground, times=times),
    )


def _byline(voice: TeacherVoice) -> list[list[str]]:
    """The teacher's name and address, which is a link."""
    link = voice.link and f"[{escaped(voice.shown)}]({quote(voice.link, safe=IN_LINKS)})"
    parts = [part for part in (escaped(voice.byline), link) if part]
    return [[" · ".join(parts)]] if parts else []


def _chart(sheet: Sheet) -> list[list[str]]:
    return [fenced(chart_text(replace(sheet.chart, voice=SILENT)))]


def _remarks(sheet: Sheet) -> list[list[str]]:
    told = sheet.voice.remarks
    return [[f"## {heading_of('remarks')}"], *([escaped(words)] for words in told)] if told else []


def _form(sheet: Sheet) -> list[list[str]]:
    guide = sheet.guide
    lines = [form_line(sheet), built_line(guide), "", kind_line(guide)]
    return [[f"## {heading_of('form')}", "", *lines]]


def _main_scales(sheet: Sheet) -> list[list[str]]:
    rows = [
        f"- **{choice.title}**: {notes_line(choice)}" + (f" *({where})*" if where else "")
        for choice, where in main_rows(sheet)
    ]
    names = names_words(sheet.guide)
    return [[f"## {heading_of('scales')}", *([names] if names else []), "", *rows]]


def _whole(sheet: Sheet) -> list[list[str]]:
    """The scales for the whole form, or section by section."""
    guide = sheet.guide
    if guide.sections:
        return _by_section(sheet)
    return [
        [
            f"## {heading_of('sections')}",
            "",
            _simple_first(sheet),
        ],
        *([_choice(c, _choice_words(c))] for c in guide.choices),
        *_sections(sheet),
    ]


def _choice_words(choice: Choice) -> str:
    return " ".join(filter(None, [choice.words, watch_line(choice)]))


def _simple_first(sheet: Sheet) -> str:
    """The introduction to the scales, and to their names unless the main scales have it."""
    names = "" if "scales" in sheet.blocks else names_words(sheet.guide)
    return " ".join(filter(None, [said("guide", "intro.simple_first"), names]))


def _by_section(sheet: Sheet) -> list[list[str]]:
    """The sections in turn: chords, guide tones and scales, what was said before not again."""
    guide = sheet.guide
    words = words_of("guide")["headings"]
    rows = [f"- **{label}** {line.words}" for label, line in numbered_lines(guide)]
    parts = [[f"## {words['road']}", "", *rows]] if rows else []
    parts.append([f"## {words['sections']}", "", _simple_first(sheet)])
    sections = guide.sections
    for section, (like, choices) in zip(sections, section_choices(sections), strict=True):
        lines = [f"### {section.name or words['form']}", "", f"{section_title(section)}."]
        lines += section_about(section)
        lines += ["", f"- **{words['chords']}**: {section_chords(section)}"]
        lines.append(f"- **{section_lines_title(section)}**: {section_guide_tones(section)}")
        if like:
            as_in = said("guide", "scales.as_in", section=like)
            lines.append(f"- **{words['scales']}**: {as_in}")
        for choice, before in choices:
            lines.append(_choice(choice, _choice_words(choice), before))
            if before and choice.watch:
                lines.append(f"  {watch_line(choice)}")
        parts.append(lines)
    return parts


def _sections(sheet: Sheet) -> list[list[str]]:
    lines = [f"- **{name}**: {scales}" for name, scales in section_lines(sheet.guide)]
    return [[f"{said('guide', 'headings.sections')}:", "", *lines]] if lines else []


def _keys(sheet: Sheet) -> list[list[str]]:
    """A table of the keys of a cycle."""
    if not sheet.guide.others:
        return []
    rows = [
        f"- **{row.key}**: {key_chords(row)} · {row.scale.title}: {notes_line(row.scale)}"
        for row in sheet.guide.others
    ]
    return [[f"## {heading_of('keys')}", "", keys_words(sheet.guide), "", *rows]]


def _choice(choice: Choice, words: str, before: str = "") -> str:
    beyond = beyond_words(choice, before)
    mark = f" *({beyond})*" if beyond else ""
    line = f"- **{choice.title}**: {notes_line(choice)}{mark}"
    return line if before else f"{line}\n  {words}"


def _chords(sheet: Sheet) -> list[list[str]]:
    spoken_of = entries(sheet.guide.chords)
    return [
        [f"## {heading_of('chords')}", "", chords_words(sheet.guide.chords)],
        *map(_chord, spoken_of, said_once(spoken_of)),
    ]


def _chord(entry: Sequence[ChordGuide], choices: Sequence[tuple[Choice, str]]) -> list[str]:
    return [
        f"### {names_of(entry)} ({', '.join(chord.numeral for chord in entry)})",
        "",
        f"**{' '.join(tones_lines(entry))}** {entry_line(entry)}",
        "",
        *(_choice(choice, choice.words, before) for choice, before in choices),
    ]


def _on_keys(sheet: Sheet) -> list[list[str]]:
    if not sheet.left_hands:
        return []
    lines = [
        f"- {symbol(hand.chord)}: "
        + ", ".join(f"{noted(key.full_name)} {signs(key.degree)}" for key in hand.keys)
        for hand in sheet.left_hands
    ]
    both = [
        f"- {symbol(hands.chord)}: "
        + " | ".join(
            ", ".join(f"{noted(key.full_name)} {signs(key.degree)}" for key in hand)
            for hand in (hands.left, hands.right)
        )
        for hands in sheet.both_hands
    ]
    head = [f"### {said('staff', 'both_hands.title')}", "", said("staff", "both_hands.in_text")]
    chords = [f"## {said('places', 'keys.chords')}", "", left_hand_words(sheet)]
    return [chords, lines, head, both]


def _on_neck(sheet: Sheet) -> list[list[str]]:
    tuning = sheet.tuning
    if tuning is None:
        return []
    parts = [[f"## {heading_of('arpeggios')}", "", hand_words(sheet)]]
    for name, chord in named(sheet):
        parts.append([f"{name}:", "", *diagram(sheet, tuning, chord.under_hand)])
    return parts


def _stops(sheet: Sheet) -> list[list[str]]:
    tuning = sheet.tuning
    stops = [(name, chord.stops) for name, chord in named(sheet) if chord.stops] if tuning else []
    if tuning is None or not stops:
        return []
    parts = [[f"## {heading_of('stops')}", "", stops_words(sheet)]]
    for name, found in stops:
        columns = [stop.places for stop in found]
        intervals = ["-".join(map(noted, stop.names)) for stop in found]
        tab = tablature(tuning, columns, under=[("", intervals)])
        parts.append([f"{name}:", "", *fenced(tab)])
    return parts


def _in_five_positions(sheet: Sheet) -> list[list[str]]:
    if sheet.tuning is None:
        return []
    parts = [[f"## {heading_of('positions')}", "", said("places", "positions.five")]]
    for name, chord in named(sheet):
        parts.append([f"{name}:", "", *fenced(_frets(sheet.tuning, chord.five))])
    return parts


def _frets(tuning: Tuning, positions: Sequence[Position]) -> str:
    """Positions side by side, a line for each string with the frets to play on it."""
    rows = [""] + [noted(tuning.names[-string]) for string in reversed(tuning.strings)]
    for position in positions:
        on = {string: [d.fret for d in position.dots if d.string == string]
              for string in reversed(tuning.strings)}  # fmt: skip
        frets = [" ".join(map(str, sorted(found))) for found in on.values()]
        wide = max(map(len, rows)) + 3
        column = [position_title(position), *frets]
        rows = [row.ljust(wide) + cell for row, cell in zip(rows, column, strict=True)]
    return "\n".join(row.rstrip() for row in rows)


def _changes(sheet: Sheet) -> list[list[str]]:
    changes = sheet.guide.changes
    if not changes:
        return []
    parts = [[f"## {heading_of('changes')}", "", said("guide", "intro.changes")]]
    for entry in changes:
        sentences = (f"- {sentence}" for sentence in entry.sentences)
        parts.append([f"### {change_title(entry)}", "", *sentences])
    return parts


def _plan(sheet: Sheet) -> list[list[str]]:
    """The plan, its tempi and steps as a list of tasks to tick."""
    plan, words = sheet.guide.plan, words_of("plan")["session"]
    ladder = " · ".join(f"☐ {tempo}" for tempo in plan.ladder)
    parts = [
        [f"## {heading_of('plan')}", "", *plan.tempo_words, plan.session],
        *([[f"{words['ladder']}: {ladder}"]] if len(plan.ladder) > 1 else []),
    ]
    for label, step in plan_rows(sheet.guide):
        minutes = said("plan", "session.minutes", minutes=step.minutes)
        place = ", ".join(part for part in (minutes, label) if part)
        title = said("plan", "session.step", title=step.title)
        task = f"**{place}: {title}** {step.words}"
        parts.append([f"- [ ] {task} *{words['listen']} {step.listen}*"])
    return parts


def _cautions(sheet: Sheet) -> list[list[str]]:
    return [[f"## {heading_of('cautions')}", "", *(f"- {words}" for words in sheet.guide.cautions)]]


PARTS: dict[str, Callable[[Sheet], list[list[str]]]] = {
    "chart": _chart,
    "remarks": _remarks,
    "form": _form,
    "scales": _main_scales,
    "plan": _plan,
    "keys": _keys,
    "sections": _whole,
    "necks": scale_necks_text,
    "chords": _chords,
    "arpeggios": _on_neck,
    "grips": grips_text,
    "voicings": _on_keys,
    "changes": _changes,
    "stops": lambda sheet: [*_stops(sheet), *along_text(sheet)],
    "licks": licks_text,
    "solo": solo_text,
    "answers": answers_text,
    "bass": bass_text,
    "lines": guide_tones_text,
    "phrases": lambda sheet: [*phrase_text(sheet), *teacher_phrases_text(sheet)],
    "positions": _in_five_positions,
    "cautions": _cautions,
}
"""The functions that write each part as paragraphs of lines; none where a sheet has nothing of it.
Names of the form, its sections and lines in ``sheet`` are escaped already."""
