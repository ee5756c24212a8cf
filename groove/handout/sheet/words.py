"""Sentences and short lines of a sheet, for pages and text."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from groove.form.harmony import in_home_words
from groove.form.road.fold_words import pulse_words
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
from groove.theory.spelling import single
from groove.theory.symbols import Symbol, key_words, listed, note, signs, symbol
from groove.wording import said

ARPEGGIO_FIRST = (
    "First the chord's own tones, its arpeggio: always right, and best on the change. Then "
    "scales, from the simplest to the most colourful."
)
RESTING = ("home", "local home", "in the key", "blues one", "blues four", "blues five")
NOT_TO_REST_ON = "Not to rest on"
SIMPLE_FIRST = "From the simplest to the most colourful."
KEY_BY_KEY = "For each key its chords, each with its guide tones, and the scale to begin with."
IN_BASS = " in the bass"
ORDINALS = ("First", "Second", "Third", "Fourth", "Fifth", "Sixth", "Seventh", "Eighth", "Ninth")
BRACKETS = "Notes in brackets are for passing through, not to rest on."
SEE = "“See” and a chord: what is said there of this kind of scale holds here too."


def form_line(sheet: Sheet) -> str:
    """Size, key, metre, tempo and feel in a line, and the changes from chorus to chorus."""
    course = () if sheet.guide.form.order else sheet.chart.course
    return " ".join([size_line(sheet), *course])


def size_line(sheet: Sheet) -> str:
    """Size, key, metre, tempo and feel in a line."""
    guide, form = sheet.guide, sheet.guide.form
    reader = f", {guide.reader.words}" if guide.reader.fifths else ""
    choruses = f"{form.choruses} {'chorus' if form.choruses == 1 else 'choruses'}"
    if guide.sections:
        feels = listed(list(dict.fromkeys(_small(feel_words(s.setting)) for s in guide.sections)))
        keys = [s.harmony.key for s in guide.sections if s.harmony.key != guide.harmony.key]
        others = listed(list(dict.fromkeys(key_words(key) for key in keys)))
        more = f", with sections in {others}" if keys else ""
        times = "" if form.order else f"{choruses}, "
        home = in_home_words(guide.harmony)
        return f"{guide.size}, {home}{more}{reader}; {times}{feels} at {guide.tempi}."
    feel = _small(feel_words(form))
    return (
        f"{form.bars} bars of {form.meter}, {in_home_words(guide.harmony)}{reader}; "
        f"{choruses} at {form.tempo:g}, {feel}."
    )


def _small(words: str) -> str:
    return words[0].lower() + words[1:]


def built_line(guide: Guide) -> str:
    """The form's construction; where there is nothing to say, its chords."""
    return built(guide) or share_line(guide)


def kind_line(guide: Guide) -> str:
    """The kind of form and its introduction."""
    return f"{guide.title}. {guide.about}"


def bars_words(bars: Fraction) -> str:
    """``3 bars``, ``1½ bars``, ``half a bar``."""
    whole, part = divmod(bars, 1)
    shown = {Fraction(1, 2): "½", Fraction(1, 4): "¼", Fraction(3, 4): "¾", Fraction(0): ""}
    if part not in shown:
        return f"{float(bars):.2g} bars"
    if not whole:
        return {"½": "half a bar", "¼": "a quarter of a bar", "¾": "¾ of a bar"}[shown[part]]
    return f"{whole}{shown[part]} {'bar' if bars == 1 else 'bars'}"


def share_line(guide: Guide) -> str:
    """The chords, and the bars that each sounds in a chorus."""
    parts = [f"{symbol(c.chord)} ({c.numeral}) {bars_words(c.bars)}" for c in guide.chords]
    return f"In a chorus: {', '.join(parts)}."


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
    return f"{NOT_TO_REST_ON}: {cells}." if cells else ""


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
        where = "" if len(names) == everywhere else f"in {listed(names)}"
        over = over_words(choice) if len(names) == 1 else ""
        rows.append((choice, " ".join(filter(None, [over, where]))))
    return rows


def numbered_lines(guide: Guide) -> list[tuple[str, LineGuide]]:
    """The lines of the order, each after its number and name: ``3 solos:``, ``1``."""
    return [
        (f"{number} {line.name}:" if line.name else f"{number}", line)
        for number, line in enumerate(guide.road_lines, 1)
    ]


def section_title(section: SectionGuide) -> str:
    """``8 bars of 4/4, in F major; medium bossa``."""
    bars = "1 bar" if section.bars == 1 else f"{section.bars} bars"
    where = in_home_words(section.harmony)
    feel = _small(feel_words(section.setting))
    if section.setting.pulse:
        feel += f", {pulse_words(section.setting.pulse)}"
    return f"{bars} of {section.setting.meter}, {where}; {feel}"


def section_about(section: SectionGuide) -> list[str]:
    """Where the road plays a section, and the notes that its bass holds."""
    said = [f"Played in {listed(section.played_in)}."] if section.played_in else []
    if section.pedals:
        said.append(f"The bass holds {listed([note(n) for n in section.pedals])}.")
    return said


def section_chords(section: SectionGuide) -> str:
    """``Fmaj7 (Imaj7) – Gm7 (ii7)``, then the chords of later time bars."""
    numerals = {entry.chord: entry.numeral for entry in section.chords}

    def said(chords: Sequence[Chord]) -> str:
        return " – ".join(f"{symbol(chord)} ({signs(numerals[chord])})" for chord in chords)

    rows = [said(section.sequence)]
    rows += [f"{_ordinal(n).lower()} time {said(e)}" for n, e in enumerate(section.endings, 2)]
    return "; ".join(rows) + "."


def section_guide_tones(section: SectionGuide) -> str:
    """The two lines of guide tones through a section, the second after ``and``."""
    lines = [[note(single(tone.name)) for tone in line] for line in section.lines]
    return " and ".join(dict.fromkeys(" – ".join(line) for line in lines)) + "."


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
    later = [f"{row.key} is the key of {listed(row.lines)}." for row in guide.others if row.lines]
    return " ".join([KEY_BY_KEY, *later[1:]])


def section_lines(guide: Guide) -> list[tuple[str, str]]:
    """A section, and ``D dorian over Dm7 and G7; D harmonic minor over A7``."""
    return [
        (name, "; ".join(f"{title} over {listed([str(symbol(c)) for c in chords])}"
                         for title, chords in pairs) + ".")
        for name, pairs in section_scales(guide)
    ]  # fmt: skip


def names_words(guide: Guide) -> str:
    """A note on the names of this sheet, if they need one: their key, and the notes that are
    played for names with two signs, which follow the letters of their chord or scale."""
    moves = "“Key by key” has the others" if guide.sections else "it moves with the key"
    said = [f"All in {guide.keys[0]}, the first key; {moves}."] if guide.keys else []
    written = [*(n for c in guide.choices for n in c.notes)]
    for entry in guide.chords:
        written += [*entry.chord.notes, *(n for choice in entry.choices for n in choice.notes)]
    doubles = {n: single(n) for n in written if abs(n.sharps) > 1}
    if doubles:
        same = listed([f"{note(name)} is played as {note(n)}" for name, n in doubles.items()])
        said.append(f"Chord and scale tones are named letter by letter: {same}.")
    return " ".join(said)


def key_chords(row: KeyGuide) -> str:
    """``Dm7 (F C)  G7 (B F)``: the chords in a key, each with its guide tones."""
    return "   ".join(
        f"{symbol(chord)} ({' '.join(note(t.name) for t in tones)})" for chord, tones in row.chords
    )


def over_words(choice: Choice) -> str:
    """``over A7`` for a choice that is for some chords alone."""
    return f"over {listed([str(symbol(c)) for c in choice.over])}" if choice.over else ""


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
    such a scale was printed before; empty where it was not."""
    first: dict[tuple[str, str], str] = {}
    found = []
    for entry in spoken_of:
        choices = [(c, (c.scale, _said(c))) for c in beyond_arpeggio(entry[0])]
        found.append([(choice, first.get(words, "")) for choice, words in choices])
        for _, words in choices:
            first.setdefault(words, str(symbol(entry[0].chord)))
    return found


def _said(choice: Choice) -> str:
    """The sentence on a choice without the name of the chord that it leads to."""
    return choice.words.replace(choice.goal, "{goal}") if choice.goal else choice.words


def chords_words(chords: Sequence[ChordGuide]) -> str:
    """The introduction to the chords one by one."""
    again = any(before for choices in said_once(entries(chords)) for _, before in choices)
    return f"{ARPEGGIO_FIRST} {BRACKETS}" + (f" {SEE}" if again else "")


def beyond_words(choice: Choice, before: str = "") -> str:
    """The small words beside a scale: ``over A7, for colour``, ``for colour, see F7``."""
    tag = choice.tag and f"for {choice.tag}"
    goal = f"before {choice.goal}" if before and choice.goal else ""
    see = before and f"see {before}"
    return ", ".join(part for part in (over_words(choice), tag, goal, see) if part)


def tones_line(chord: ChordGuide) -> str:
    """``A root, C♯ third, E fifth, G seventh``; of a slash chord the bass, too:
    ``A root, C♯ third in the bass, E fifth``, ``A root, C♯ third, E fifth, D in the bass``."""
    bass = chord.chord.bass
    own = [(t, bass and t.name.pitch_class == bass.pitch_class) for t in chord.tones]
    said = [f"{note(t.name)} {degree_words(t.degree)}{IN_BASS if low else ''}" for t, low in own]
    if bass and not any(low for _, low in own):
        said.append(note(bass) + IN_BASS)
    return ", ".join(said)


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
    back = ", back to the top" if entry.back else ""
    back += f" in {entry.key}" if entry.key else ""
    back += f", on to {entry.onward}" if entry.onward else ""
    return f"{symbol(entry.change.before)} to {symbol(entry.change.after)}{back}"


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


def _ordinal(time: int) -> str:
    return ORDINALS[time - 1] if time <= len(ORDINALS) else f"{time}th"
