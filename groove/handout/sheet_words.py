"""The sentences and short lines of a sheet that pages and text share."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from groove.handout.chart import feel_words
from groove.handout.form_words import built
from groove.handout.guide import ChangeGuide, ChordGuide, Guide
from groove.handout.guide_plan import PlanStep
from groove.handout.guide_scales import ARPEGGIO, Choice
from groove.handout.guide_words import degree_words, listed
from groove.handout.positions import Position
from groove.handout.sheet import Sheet
from groove.handout.symbols import key_words, note, symbol
from groove.theory.pitch import NoteName

ARPEGGIO_FIRST = (
    "First the chord's own tones, its arpeggio: always right, and best on the change. Then "
    "scales, from the simplest to the most colourful."
)
ORDINALS = ("First", "Second", "Third", "Fourth", "Fifth", "Sixth", "Seventh", "Eighth", "Ninth")
BRACKETS = "Notes in brackets are for passing through, not to rest on."
SEE = "“See” and a chord: what is said there of this kind of scale holds here too."


def form_line(sheet: Sheet) -> str:
    """Size, key, metre, tempo and feel in a line, and what changes from chorus to chorus."""
    guide, form = sheet.guide, sheet.guide.form
    feel = feel_words(form)
    times = "chorus" if form.choruses == 1 else "choruses"
    reader = f", {guide.reader.words}" if guide.reader.fifths else ""
    size = (
        f"{form.bars} bars of {form.meter}, {_key(guide)}{reader}; "
        f"{form.choruses} {times} at {form.tempo:g}, {feel[0].lower()}{feel[1:]}."
    )
    return " ".join([size, *sheet.chart.course])


def _key(guide: Guide) -> str:
    """``in G major``; a blues is in G, neither major nor minor."""
    key = guide.form.key
    return (
        f"a blues in {note(key.tonic)}" if guide.harmony.kind == "blues" else f"in {key_words(key)}"
    )


def built_line(guide: Guide) -> str:
    """How the form is built; where there is nothing to say, its chords."""
    return built(guide) or share_line(guide)


def kind_line(guide: Guide) -> str:
    """What kind of form it is."""
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
    """Which chords there are and how long each sounds in a chorus."""
    parts = [f"{symbol(c.chord)} ({c.numeral}) {bars_words(c.bars)}" for c in guide.chords]
    return f"In a chorus: {', '.join(parts)}."


def notes_line(choice: Choice) -> str:
    """The notes, those to avoid in brackets: ``C D E (F) G A B``."""
    shown = (f"({note(n)})" if n in choice.avoid else note(n) for n in choice.notes)
    return "  ".join(shown)


def choice_words(choice: Choice) -> str:
    """The sentences of a choice for the whole form, with the chords it needs care over."""
    if not choice.watch:
        return choice.words
    over: dict[tuple[NoteName, ...], list[str]] = {}
    for chord, notes in choice.watch:
        over.setdefault(notes, []).append(str(symbol(chord)))
    cares = (f"on {listed([note(n) for n in ns])} over {listed(cs)}" for ns, cs in over.items())
    return f"{choice.words} Don't rest {', or '.join(cares)}."


def over_words(choice: Choice) -> str:
    """``over A7`` for a choice that is for some chords alone."""
    return f"over {listed([str(symbol(c)) for c in choice.over])}" if choice.over else ""


def beyond_arpeggio(chord: ChordGuide) -> tuple[Choice, ...]:
    """The choices without the arpeggio, which the line of tones gives already."""
    return tuple(choice for choice in chord.choices if choice.scale != ARPEGGIO)


def said_once(chords: Sequence[ChordGuide]) -> list[list[tuple[Choice, str]]]:
    """For each chord its choices beyond the arpeggio and the chord over which the sentence on
    such a scale was printed before, empty where it has yet to be."""
    first: dict[tuple[str, str], str] = {}
    found = []
    for chord in chords:
        name = str(symbol(chord.chord))
        choices = beyond_arpeggio(chord)
        found.append([(c, first.get((c.scale, c.words), "")) for c in choices])
        for choice in choices:
            first.setdefault((choice.scale, choice.words), name)
    return found


def chords_words(chords: Sequence[ChordGuide]) -> str:
    """What stands over the chords, one by one."""
    again = any(before for choices in said_once(chords) for _, before in choices)
    return f"{ARPEGGIO_FIRST} {BRACKETS}" + (f" {SEE}" if again else "")


def beyond_words(choice: Choice, before: str = "") -> str:
    """What stands in small beside a scale: ``over A7, for colour``, ``for colour, see F7``."""
    tag = choice.tag and f"for {choice.tag}"
    return ", ".join(part for part in (over_words(choice), tag, before and f"see {before}") if part)


def tones_line(chord: ChordGuide) -> str:
    """``A root, C♯ third, E fifth, G seventh``."""
    return ", ".join(f"{note(t.name)} {degree_words(t.degree)}" for t in chord.tones)


def guide_line(chord: ChordGuide) -> str:
    """``Guide tones: C♯ and G.``"""
    names = [note(t.name) for t in chord.guide_tones]
    return f"Guide tone{'s' if len(names) > 1 else ''}: {listed(names)}."


def change_title(entry: ChangeGuide) -> str:
    """``D7 to G7``."""
    back = ", back to the top" if entry.back else ""
    return f"{symbol(entry.change.before)} to {symbol(entry.change.after)}{back}"


def step_title(step: PlanStep) -> str:
    """``Chorus 3``, ``Choruses 4 to 6``; the second time through counts anew."""
    several = step.last > step.first
    return f"Choruses {step.first} to {step.last}" if several else f"Chorus {step.first}"


def time_words(time: int) -> str:
    """What stands over the steps of one time through the track."""
    return f"{ORDINALS[time - 1] if time <= len(ORDINALS) else f'{time}th'} time through the track"


def stops_words(sheet: Sheet) -> str:
    """What stands over the double stops."""
    found = {stop.interval for chord in sheet.on_neck for stop in chord.stops}
    kinds = [f"{interval}s" for interval in ("third", "sixth", "tenth") if interval in found]
    return f"Two tones of the chord at once, under the hand: {listed(kinds)}."


def position_title(position: Position) -> str:
    """``1 · frets 4–8``: its number, and the frets that its drawing shows."""
    low, high = position.lowest, position.highest
    return f"{position.number} · " + (f"frets {low}–{high}" if low < high else f"fret {low}")


def hand_words(sheet: Sheet) -> str:
    """Where the hand lies for all chords."""
    hands = [chord.under_hand for chord in sheet.on_neck]
    hand, reach = hands[0].fret, sheet.tuning.reach if sheet.tuning else 0
    lacking = [str(symbol(c.chord)) for c, n in zip(sheet.guide.chords, sheet.on_neck, strict=True)
               if not n.under_hand.complete]  # fmt: skip
    words = f"The hand stays at fret {hand}: every chord of the form lies under it."
    back = any(0 < place.lowest < hand for place in hands)
    up = any(place.highest >= hand + reach for place in hands)
    stretches = ["the first finger reaches back one fret"] * back
    stretches += ["the fourth finger reaches up one fret"] * up
    if stretches:
        said = listed(stretches)
        words += f" {said[0].upper()}{said[1:]} where needed."
    if lacking:
        words += f" Not every tone of {listed(lacking)} can be reached there."
    return words


def left_hand_words(sheet: Sheet) -> str:
    """What stands over the keyboards of the chords."""
    first = "The chord's tones from middle C, and beside them the left hand"
    if any(hand.rootless for hand in sheet.left_hands):
        return f"{first}: four notes without the root, which the bass has, each near the last."
    return (
        f"{first}: the root with the third and the seventh, each near the last. "
        "Where a bass plays, leave out the root."
    )
