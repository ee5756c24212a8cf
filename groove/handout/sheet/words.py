"""Sentences and short lines of a sheet, for pages and text."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from groove.form.harmony import in_home_words
from groove.form.road.fold_words import ordinal, pulse_words
from groove.form.words import feel_words
from groove.handout.sheet.sheet import Sheet
from groove.lesson.change_words import degree_words
from groove.lesson.chord_guides import ChangeGuide, ChordGuide
from groove.lesson.form_scales import ARPEGGIO, Choice
from groove.lesson.guide import Guide
from groove.lesson.how_built import built, section_scales
from groove.lesson.key_by_key import KeyGuide
from groove.lesson.practice_plan import PlanStep, TimeRound
from groove.lesson.section_guides import LineGuide, SectionGuide
from groove.theory.chords import Chord
from groove.theory.motion import has_triads
from groove.theory.spelling import single
from groove.theory.symbols import Symbol, key_words, listed, note, signs, symbol
from groove.wording import counted, in_figures, inside, said, words_of

RESTING = ("home", "local home", "in the key", "blues one", "blues four", "blues five")


def form_line(sheet: Sheet) -> str:
    """Size, key, metre, tempo and feel in a line, and the changes from chorus to chorus."""
    course = () if sheet.guide.form.order else sheet.chart.course
    return " ".join([size_line(sheet), *course])


def size_line(sheet: Sheet) -> str:
    """Size, key, metre, tempo and feel in a line."""
    guide, form = sheet.guide, sheet.guide.form
    home = in_home_words(guide.harmony)
    choruses = counted("numbers", "choruses", form.choruses)
    if guide.sections:
        feels = [inside(feel_words(section.setting)) for section in guide.sections]
        keys = [s.harmony.key for s in guide.sections if s.harmony.key != guide.harmony.key]
        if keys:
            others = listed(list(dict.fromkeys(key_words(key) for key in keys)))
            home = said("guide", "form.with_sections", home=home, keys=others)
        return said(
            "guide", f"form.{'order' if form.order else 'sections'}",
            size=guide.size, home=_for_reader(guide, home), choruses=choruses,
            feels=listed(list(dict.fromkeys(feels))), tempo=guide.tempi,
        )  # fmt: skip
    return said(
        "guide", "form.usual",
        bars=counted("numbers", "bars", form.bars), meter=form.meter, home=_for_reader(guide, home),
        choruses=choruses, tempo=in_figures(form.tempo), feel=inside(feel_words(form)),
    )  # fmt: skip


def _for_reader(guide: Guide, home: str) -> str:
    """The key in words, and for a transposing reader for whom it is."""
    if not guide.reader.fifths:
        return home
    return said("guide", "form.for_reader", home=home, reader=guide.reader.words)


def built_line(guide: Guide) -> str:
    """The form's construction; where there is nothing to say, its chords."""
    return built(guide) or share_line(guide)


def kind_line(guide: Guide) -> str:
    """The kind of form and its introduction."""
    return said("guide", "form.kind", title=guide.title, about=guide.about)


def bars_words(bars: Fraction) -> str:
    """``3 bars``, ``1½ bars``, ``half a bar``."""
    whole, part = divmod(bars, 1)
    shown = {Fraction(1, 2): "½", Fraction(1, 4): "¼", Fraction(3, 4): "¾", Fraction(0): ""}
    if part not in shown:
        return said("numbers", "bars.many", number=in_figures(float(bars), ".2g"))
    if not whole:
        names = {
            Fraction(1, 2): "half",
            Fraction(1, 4): "quarter",
            Fraction(3, 4): "three_quarters",
        }
        return said("numbers", f"parts_of_a_bar.{names[part]}")
    if bars == 1:
        return said("numbers", "bars.one")
    return said("numbers", "bars.many", number=f"{whole}{shown[part]}")


def share_line(guide: Guide) -> str:
    """The chords, and the bars that each sounds in a chorus."""
    parts = [
        said("guide", "form.chord_share",
             chord=symbol(c.chord), numeral=c.numeral, bars=bars_words(c.bars))
        for c in guide.chords
    ]  # fmt: skip
    return said("guide", "form.share", chords=", ".join(parts))


def notes_line(choice: Choice) -> str:
    """The notes, those to avoid in brackets: ``C D E (F) G A B``."""
    shown = (f"({note(n)})" if n in choice.avoid else note(n) for n in choice.notes)
    return "  ".join(shown)


def watch_cells(choice: Choice) -> list[tuple[Symbol, str]]:
    """Each chord over which a scale needs care, and the notes not to rest on."""
    return [(symbol(chord), " ".join(note(n) for n in notes)) for chord, notes in choice.watch]


def watch_line(choice: Choice) -> str:
    """``Not to rest on: G7 C · Cmaj7 F``; empty where there is nothing to say."""
    cells = " · ".join(f"{chord}: {notes}" for chord, notes in watch_cells(choice))
    return f"{said('guide', 'scales.watch')}: {cells}." if cells else ""


def main_scales(guide: Guide) -> list[Choice]:
    """Those for the form that don't go beyond its plain sound."""
    return [choice for choice in guide.choices if not choice.tag]


def scale_rows(guide: Guide) -> list[tuple[Choice, str]]:
    """The main scales, each with the chords that it is for, or with the sections."""
    if not guide.sections:
        return [(choice, over_words(choice)) for choice in main_scales(guide)]
    found: dict[object, tuple[Choice, list[str]]] = {}
    for section in guide.sections:
        for choice in section.choices:
            if not choice.tag:
                place = choice.root, choice.scale
                names = found.setdefault(place, (choice, []))[1]
                names += [section.name] * (section.name not in names)
    everywhere = len({section.name for section in guide.sections})
    rows = []
    for choice, names in found.values():
        where = said("guide", "scales.in_sections", sections=listed(names))
        where = "" if len(names) == everywhere else where
        over = over_words(choice) if len(names) == 1 else ""
        rows.append((choice, " ".join(filter(None, [over, where]))))
    return rows


def numbered_lines(guide: Guide) -> list[tuple[str, LineGuide]]:
    """The lines of the order, each after its number and name: ``3 solos:``, ``1``."""
    return [
        (
            said("guide", "sections.numbered", number=number, line=line.name)
            if line.name
            else f"{number}",
            line,
        )
        for number, line in enumerate(guide.road_lines, 1)
    ]


def section_title(section: SectionGuide) -> str:
    """``8 bars of 4/4, in F major; medium bossa``."""
    feel = inside(feel_words(section.setting))
    if section.setting.pulse:
        pulse = pulse_words(section.setting.pulse)
        feel = said("guide", "sections.pulse", feel=feel, pulse=pulse)
    return said(
        "guide", "sections.title", bars=counted("numbers", "bars", section.bars),
        meter=section.setting.meter, home=in_home_words(section.harmony), feel=feel,
    )  # fmt: skip


def section_about(section: SectionGuide) -> list[str]:
    """Where the road plays a section, and the notes that its bass holds."""
    found = []
    if section.played_in:
        found.append(said("guide", "sections.played", lines=listed(section.played_in)))
    if section.pedals:
        notes = listed([note(n) for n in section.pedals])
        found.append(said("guide", "sections.pedal", notes=notes))
    return found


def section_chords(section: SectionGuide) -> str:
    """``Fmaj7 (Imaj7) – Gm7 (ii7)``, then the chords of later time bars."""
    numerals = {entry.chord: entry.numeral for entry in section.chords}

    def named(chords: Sequence[Chord]) -> str:
        pairs = ((symbol(chord), signs(numerals[chord])) for chord in chords)
        return " – ".join(said("guide", "sections.chord", chord=c, numeral=n) for c, n in pairs)

    rows = [named(section.sequence)]
    rows += [
        said("guide", "sections.ending", time=inside(ordinal_words(n)), chords=named(chords))
        for n, chords in enumerate(section.endings, 2)
    ]
    return "; ".join(rows) + "."


def section_lines_title(section: SectionGuide) -> str:
    """``Guide tones``, or ``Nearest chord tones`` where there are triads."""
    triads = has_triads(section.sequence)
    return said("guide", "headings.chord_tones" if triads else "headings.guide_tones")


def section_guide_tones(section: SectionGuide) -> str:
    """The two lines of guide tones through a section, the second after ``and``."""
    lines = [[note(single(tone.name)) for tone in line] for line in section.lines]
    line, *others = dict.fromkeys(" – ".join(line) for line in lines)
    for other in others:
        line = said("guide", "sections.guide_lines", line=line, other=other)
    return line + "."


def section_choices(
    sections: Sequence[SectionGuide],
) -> list[tuple[str, list[tuple[Choice, str]]]]:
    """For each section the one before whose scales it shares, or its scales, each with the
    section where the same was said before; empty where it was not."""
    rows: list[tuple[str, list[tuple[Choice, str]]]] = []
    first: dict[object, str] = {}
    for number, section in enumerate(sections):
        like = next((s.name for s in sections[:number] if _same_scales(section, s)), "")
        said = [(c, first.get((c.title, c.words), "")) for c in section.choices]
        rows.append((like, [] if like else said))
        for choice in section.choices:
            first.setdefault((choice.title, choice.words), section.name)
    return rows


def _same_scales(section: SectionGuide, other: SectionGuide) -> bool:
    """True if all that is said of a section's scales is said of another's."""
    if len(section.choices) != len(other.choices):
        return False
    return all(
        (here.title, here.words, here.tag, here.over)
        == (there.title, there.words, there.tag, there.over)
        and set(here.watch) <= set(there.watch)
        for here, there in zip(section.choices, other.choices, strict=True)
    )


def keys_words(guide: Guide) -> str:
    """The introduction to the keys; of a road, with the lines that are in the later ones."""
    later = [
        said("guide", "intro.key_of", key=row.key, lines=listed(row.lines))
        for row in guide.others
        if row.lines
    ]
    return " ".join([said("guide", "intro.keys"), *later[1:]])


def section_lines(guide: Guide) -> list[tuple[str, str]]:
    """A section, and ``D dorian over Dm7 and G7; D harmonic minor over A7``."""
    return [
        (name, "; ".join(_title_over(title, chords) for title, chords in pairs) + ".")
        for name, pairs in section_scales(guide)
    ]


def _title_over(title: str, chords: Sequence[Chord]) -> str:
    names = listed([str(symbol(chord)) for chord in chords])
    return said("guide", "scales.title_over", title=title, chords=names)


def names_words(guide: Guide) -> str:
    """A note on the names of this sheet, if they need one: their key, and the notes that are
    played for names with two signs, which follow the letters of their chord or scale."""
    way = "first_key_sections" if guide.sections else "first_key"
    found = [said("guide", f"names.{way}", key=guide.keys[0])] if guide.keys else []
    written = [*(n for c in guide.choices for n in c.notes)]
    for entry in guide.chords:
        written += [*entry.chord.notes, *(n for choice in entry.choices for n in choice.notes)]
    doubles = {n: single(n) for n in written if abs(n.sharps) > 1}
    if doubles:
        pairs = [
            said("guide", "names.played_as", note=note(name), other=note(n))
            for name, n in doubles.items()
        ]
        found.append(said("guide", "names.doubles", pairs=listed(pairs)))
    return " ".join(found)


def key_chords(row: KeyGuide) -> str:
    """``Dm7 (F C)  G7 (B F)``: the chords in a key, each with its guide tones."""
    return "   ".join(
        f"{symbol(chord)} ({' '.join(note(t.name) for t in tones)})" for chord, tones in row.chords
    )


def over_words(choice: Choice) -> str:
    """``over A7`` for a choice that is for some chords alone."""
    if not choice.over:
        return ""
    return said("guide", "scales.over", chords=listed([str(symbol(c)) for c in choice.over]))


def beyond_arpeggio(chord: ChordGuide) -> tuple[Choice, ...]:
    """The choices without the arpeggio, which the line of tones gives already."""
    return tuple(choice for choice in chord.choices if choice.scale != ARPEGGIO)


def entries(chords: Sequence[ChordGuide]) -> list[tuple[ChordGuide, ...]]:
    """The chords that share an entry: on one root, in the same parts, with one answer to
    what to play, as a D7, a D13 and a D7/F♯ may be."""
    found: dict[object, list[ChordGuide]] = {}
    for chord in chords:
        parts = tuple(
            (role.name, role.goal.root if role.name not in RESTING else None)
            for role in chord.roles
        )
        answer = tuple((c.title, c.avoid, c.tag) for c in beyond_arpeggio(chord))
        found.setdefault((chord.chord.root, parts, answer), []).append(chord)
    return [tuple(entry) for entry in found.values()]


def same_tones(chords: Sequence[ChordGuide]) -> list[str]:
    """For each chord its symbol, with those of the others on its root that have its tones."""
    groups: dict[object, list[ChordGuide]] = {}
    for chord in chords:
        groups.setdefault((chord.tones[0], frozenset(chord.tones)), []).append(chord)
    names = {
        place: ", ".join(dict.fromkeys(str(symbol(chord.chord)) for chord in alike))
        for place, alike in groups.items()
    }
    return [names[chord.tones[0], frozenset(chord.tones)] for chord in chords]


def names_of(entry: Sequence[ChordGuide]) -> str:
    """``D7`` or ``D7, D13``; ``Dm9 (Bridge)`` where a chord is another thing elsewhere."""
    places = {str(symbol(chord.chord)): [c.place for c in entry if c.chord == chord.chord]
              for chord in entry}  # fmt: skip
    return ", ".join(
        name + (f" ({listed(where)})" if any(where) else "") for name, where in places.items()
    )


def tones_lines(entry: Sequence[ChordGuide]) -> list[str]:
    """The tones of each chord that is spoken of, after its symbol where there are several."""
    if len(entry) == 1:
        return [f"{tones_line(entry[0])}."]
    said = [f"{symbol(chord.chord)}: {tones_line(chord)}." for chord in entry]
    return list(dict.fromkeys(said))


def said_once(
    spoken_of: Sequence[tuple[ChordGuide, ...]],
) -> list[list[tuple[Choice, str]]]:
    """For each entry its choices beyond the arpeggio, each with the chord where the sentence on
    such a scale was printed before; empty where it was not. A chord of the same name has its
    place: ``B♭m7 (A)``."""
    first: dict[tuple[str, str], tuple[str, str]] = {}
    found = []
    for entry in spoken_of:
        choices = [(c, (c.scale, _said(c))) for c in beyond_arpeggio(entry[0])]
        name = str(symbol(entry[0].chord))
        seen = [first.get(words, ("", "")) for _, words in choices]
        before = [placed if plain == name else plain for plain, placed in seen]
        found.append([(c, again) for (c, _), again in zip(choices, before, strict=True)])
        for _, words in choices:
            first.setdefault(words, (name, names_of(entry[:1])))
    return found


def _said(choice: Choice) -> str:
    """The sentence on a choice without the name of the chord that it leads to."""
    return choice.words.replace(choice.goal, "{goal}") if choice.goal else choice.words


def chords_words(chords: Sequence[ChordGuide]) -> str:
    """The introduction to the chords one by one."""
    again = any(before for choices in said_once(entries(chords)) for _, before in choices)
    parts = ("arpeggio_first", "brackets", *["see"] * again)
    return " ".join(said("guide", f"intro.{part}") for part in parts)


def beyond_words(choice: Choice, before: str = "") -> str:
    """The small words beside a scale: ``over A7, for colour``, ``for colour, see F7``."""
    tag = choice.tag and said("guide", f"scales.{choice.tag}")
    goal = said("guide", "scales.before", chord=choice.goal) if before and choice.goal else ""
    see = before and said("guide", "scales.see", chord=before)
    return ", ".join(part for part in (over_words(choice), tag, goal, see) if part)


def tones_line(chord: ChordGuide) -> str:
    """``A root, C♯ third, E fifth, G seventh``; of a slash chord the bass, too:
    ``A root, C♯ third in the bass, E fifth``, ``A root, C♯ third, E fifth, D in the bass``."""
    bass = chord.chord.bass
    own = [(t, bass and t.name.pitch_class == bass.pitch_class) for t in chord.tones]
    found = [
        said("guide", f"tones.{'tone_in_bass' if low else 'tone'}",
             note=note(tone.name), degree=degree_words(tone.degree))
        for tone, low in own
    ]  # fmt: skip
    if bass and not any(low for _, low in own):
        found.append(said("guide", "tones.in_bass", note=note(bass)))
    return ", ".join(found)


def entry_line(entry: Sequence[ChordGuide]) -> str:
    """``Guide tones: C♯ and G.``, the meaning of numerals with a slash, and the chord's role."""
    slashes = dict.fromkeys(words for chord in entry for words in chord.words[:-1])
    return " ".join([_guide_line(entry), *slashes, entry[0].words[-1]])


def _guide_line(entry: Sequence[ChordGuide]) -> str:
    names = {symbol(c.chord): listed([note(t.name) for t in c.guide_tones]) for c in entry}
    if len(set(names.values())) > 1:
        each = "; ".join(f"{chord}: {notes}" for chord, notes in names.items())
        return said("scales", "guide_tones.each", notes=each)
    many = "many" if len(entry[0].guide_tones) > 1 else "one"
    return said("scales", f"guide_tones.{many}", notes=names[symbol(entry[0].chord)])


def change_title(entry: ChangeGuide) -> str:
    """``D7 to G7``."""
    change = entry.change
    words = said("guide", "change.title", chord=symbol(change.before), next=symbol(change.after))
    if entry.back:
        words = said("guide", "change.back", words=words)
    if entry.key:
        words = said("guide", "change.in_key", words=words, key=entry.key)
    if entry.onward:
        words = said("guide", "change.onward", words=words, section=entry.onward)
    return words


def plan_rows(guide: Guide) -> list[tuple[str, PlanStep]]:
    """The steps of the plan, each with its part of the track: ``Choruses 4–6``, ``Solos 1–2``;
    with nothing where the track has fewer parts than there are steps."""
    plan = guide.plan
    if plan.steps[-1].time > 1:
        return [("", step) for step in plan.steps]
    return [(_times(guide, step), step) for step in plan.steps]


def _times(guide: Guide, step: PlanStep) -> str:
    first, last = (guide.ground.times[number - 1] for number in (step.first, step.last))
    names = {"first": first.number, "last": last.number}
    if not first.line:
        return said("plan", "labels.choruses" if last != first else "labels.chorus", **names)
    words = _time(first)
    if last.line != first.line:
        words = said("plan", "labels.lines", first=words, last=_time(last))
    elif last != first:
        words = said("plan", "labels.times", line=first.line, **names)
    return words[0].upper() + words[1:]


def _time(time: TimeRound) -> str:
    if time.of == 1:
        return time.line
    return said("plan", "labels.time", line=time.line, number=time.number)


def ordinal_words(place: int) -> str:
    """``First``, ``Second``; in figures above the last that has a word."""
    words = words_of("numbers")["ordinals"]
    return str(words[place - 1]) if place <= len(words) else ordinal(place)
