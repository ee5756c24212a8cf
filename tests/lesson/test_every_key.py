"""Every shipped form means the same in all twelve keys. Source throughout: common practice."""

import pytest

import groove
from groove.form.choruses import in_key
from groove.lesson.guide import Guide, write_guide
from groove.theory.keys import twelve_keys
from groove.theory.motion import above
from tests.lesson.guide_material import BACK_WAY, FORMS

PROGRESSIONS = (
    BACK_WAY,
    "Imaj7 bIII7 bVImaj7 VII7 IIImaj7 bvii7:1/2 bIII7:1/2 bVImaj7 #iv7:1/2 VII7:1/2 IIImaj7 V7",
    "I V/3 vi vi/b7 IV I/3 ii7 IV/2",
    "Imaj7 #Idim7 ii7 #iidim7 iii7 VI7 ii7 V7",
)


def meaning(guide: Guide) -> list[object]:
    """Chords, roles and scales, counted from the tonic."""
    tonic = guide.harmony.key.tonic
    chords: list[object] = [
        (
            above(tonic, entry.chord.root),
            entry.chord.quality,
            [role.name for role in entry.roles],
            [(above(tonic, c.root), c.scale, c.tag, len(c.avoid)) for c in entry.choices],
        )
        for entry in guide.chords
    ]
    return [*chords, *((c.scale, len(c.over), len(c.watch)) for c in guide.choices)]


@pytest.mark.parametrize("name", [*FORMS, *PROGRESSIONS])
def test_form_means_the_same_and_is_spelled_well_in_all_keys(name: str) -> None:
    if name in PROGRESSIONS:
        form = groove.read_form("twelve-bar", chords=name, key="C", turnaround=False)
    else:
        form = groove.read_form(name)
    guides = [write_guide(in_key(form, key)) for key in twelve_keys(form.key)]
    first = meaning(guides[0])
    for guide in guides:
        assert meaning(guide) == first
        for entry in guide.changes:
            change = entry.change
            up = above(change.before.root, change.after.root)
            fifths = change.after.root.fifths - change.before.root.fifths
            if up == 5 and change.before.quality.is_dominant:
                assert fifths == -1, (change.before, change.after)
            stay = {step.start for step in change.stays}
            assert stay.isdisjoint(step.start for step in (*change.guides, *change.arrivals))
