"""Sentences and short lines of a sheet, for pages and text."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from groove.form.harmony import in_home_words
from groove.form.words import feel_words
from groove.handout.sheet.sheet import Sheet
from groove.lesson.change_words import degree_words, listed
from groove.lesson.form_scales import ARPEGGIO, Choice
from groove.lesson.guide import ChangeGuide, ChordGuide, Guide
from groove.lesson.how_built import built, section_scales
from groove.lesson.key_by_key import KeyGuide
from groove.lesson.practice_plan import PlanStep
from groove.theory.spelling import single
from groove.theory.symbols import Symbol, note, symbol

ARPEGGIO_FIRST = (
    "First the chord's own tones, its arpeggio: always right, and best on the change. Then "
    "scales, from the simplest to the most colourful."
)
RESTING = ("home", "local home", "in the key", "blues one", "blues four", "blues five")
NOT_TO_REST_ON = "Not to rest on"
SIMPLE_FIRST = "From the simplest to the most colourful."
EACH_WHOLE = "Each step for the whole of the track"
KEY_BY_KEY = "For each key its chords, each with its guide tones, and the scale to begin with."
IN_BASS = " in the bass"
ORDINALS = ("First", "Second", "Third", "Fourth", "Fifth", "Sixth", "Seventh", "Eighth", "Ninth")
BRACKETS = "Notes in brackets are for passing through, not to rest on."
SEE = "“See” and a chord: what is said there of this kind of scale holds here too."


def form_line(sheet: Sheet) -> str:
    """Size, key, metre, tempo and feel in a line, and the changes from chorus to chorus."""
    return " ".join([size_line(sheet), *sheet.chart.course])


def size_line(sheet: Sheet) -> str:
    """Size, key, metre, tempo and feel in a line."""
    guide, form = sheet.guide, sheet.guide.form
    feel = feel_words(form)
    times = "chorus" if form.choruses == 1 else "choruses"
    reader = f", {guide.reader.words}" if guide.reader.fifths else ""
    return (
        f"{form.bars} bars of {form.meter}, {in_home_words(guide.harmony)}{reader}; "
        f"{form.choruses} {times} at {form.tempo:g}, {feel[0].lower()}{feel[1:]}."
    )


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
    said = [f"All in {guide.keys[0]}, the first key; it moves with the key."] if guide.keys else []
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
        groups.setdefault((chord.chord.root, chord.chord.quality), []).append(chord)
    return [names_of(groups[chord.chord.root, chord.chord.quality]) for chord in chords]


def names_of(entry: Sequence[ChordGuide]) -> str:
    """``D7`` or ``D7, D13``."""
    return ", ".join(str(symbol(chord.chord)) for chord in entry)


def tones_lines(entry: Sequence[ChordGuide]) -> list[str]:
    """The tones of each chord that is spoken of, after its symbol where there are several."""
    if len(entry) == 1:
        return [f"{tones_line(entry[0])}."]
    return [f"{symbol(chord.chord)}: {tones_line(chord)}." for chord in entry]


def said_once(
    spoken_of: Sequence[tuple[ChordGuide, ...]],
) -> list[list[tuple[Choice, str]]]:
    """For each entry its choices beyond the arpeggio, each with the chord where the sentence on
    such a scale was printed before; empty where it was not."""
    first: dict[tuple[str, str], str] = {}
    found = []
    for entry in spoken_of:
        choices = [(c, (c.scale, _said(c))) for c in beyond_arpeggio(entry[0])]
        found.append([(choice, first.get(said, "")) for choice, said in choices])
        for _, said in choices:
            first.setdefault(said, str(symbol(entry[0].chord)))
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


def guide_line(chord: ChordGuide) -> str:
    """``Guide tones: C♯ and G.``"""
    names = [note(t.name) for t in chord.guide_tones]
    return f"Guide tone{'s' if len(names) > 1 else ''}: {listed(names)}."


def change_title(entry: ChangeGuide) -> str:
    """``D7 to G7``."""
    back = ", back to the top" if entry.back else ""
    back += f" in {entry.key}" if entry.key else ""
    return f"{symbol(entry.change.before)} to {symbol(entry.change.after)}{back}"


def plan_rows(guide: Guide) -> list[tuple[str, str, PlanStep]]:
    """The steps of the plan, each with the words over it, if there are any, and before it.

    ``First time through the track`` stands over the steps of one time, ``Chorus 3`` before one;
    where each step takes the whole track, just ``First time`` before it.
    """
    plan, choruses = guide.plan, guide.form.choruses
    if all((step.first, step.last) == (1, choruses) for step in plan.steps):
        return [(EACH_WHOLE if step.time == 1 else "", f"{_ordinal(step.time)} time", step)
                for step in plan.steps]  # fmt: skip
    several = plan.steps[-1].time > 1
    rows, time = [], 0
    for step in plan.steps:
        begins = several and step.time != time
        time = step.time
        over = f"{_ordinal(time)} time through the track" if begins else ""
        rows.append((over, _choruses(step), step))
    return rows


def _choruses(step: PlanStep) -> str:
    """``Chorus 3``, ``Choruses 4–6``; the second time through counts anew."""
    several = step.last > step.first
    return f"Choruses {step.first}–{step.last}" if several else f"Chorus {step.first}"


def _ordinal(time: int) -> str:
    return ORDINALS[time - 1] if time <= len(ORDINALS) else f"{time}th"
