"""Makes a pack: everything that a teacher posts about a form, in a folder and as a zip.

For each key the chart and the lesson sheet; for each key and tempo MIDI and audio, and where they
are asked for video, cover and text; the practice page; an overview with a player, the credits, and
a manifest of it all. A second run makes only the files that are missing or out of date, and
continues a run that was broken off. What is made depends on nothing but the form, the options, the
program and the soundfont.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterable, Sized
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Unpack

from groove.errors import GrooveError
from groove.files import try_targets
from groove.form.model import Form
from groove.handout.pack.about import ABOUT, is_whole, put_about, write_about
from groove.handout.pack.estimate import MOST_ZIP, Estimate, amount, estimate_here, weight
from groove.handout.pack.folder import (
    INDEX,
    MANIFEST,
    Aside,
    Earlier,
    Made,
    claimed,
    in_words,
    remove_stale,
)
from groove.handout.pack.plan import PackPlan, Task
from groove.handout.pack.posting import free_memory, unheeded, videos_at_once
from groove.handout.pack.prepare import PackOptions, prepare
from groove.sound.options import Names, Wanted
from groove.sound.synth.licences import caution, may_be_posted

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from groove.handout.pack.jobs import Job
    from groove.sound.synth.covering import Covering
    from groove.sound.synth.soundfonts import Fonts, Given


@dataclass(frozen=True, slots=True)
class Packed:
    """The outcome of groove.pack. index, zip: their paths. The rest are names in the folder.

    made: files made in this run; kept: those that were there already; removed: those of an
    earlier pack that this one does not have. aside: files that differed from what had been made,
    under the names that they have now.
    """

    folder: Path
    index: Path
    zip: Path
    made: tuple[str, ...] = ()
    kept: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    aside: tuple[str, ...] = ()


def pack(
    form: Form | str | Path,
    folder: str | Path | None = None,
    *,
    keys: str | Iterable[str] | None = None,
    tempos: str | float | Iterable[str | float] = (),
    audio: Names | None = "mp3",
    readers: str | Iterable[str] = (),
    paper: str = "a4",
    soundfont: Given = None,
    executor: Executor | None = None,
    say: Callable[[str], None] = lambda line: None,
    progress: Callable[[float], None] | None = None,
    agree: Callable[[Estimate], bool] = lambda estimate: True,
    **options: Unpack[PackOptions],
) -> Packed:
    """Make the pack of a form.

    form: a Form, or what read_form takes. folder: where; a new one named after the title if left
    out. keys: ``"all"``, or keys in a list or with commas between them; all if left out, but the
    form's own where it goes through all twelve by itself. tempos: felt beats a
    minute; the form's own if left out. audio, soundfont: as of groove.make. readers: for whom
    there are charts and sheets beside those in concert pitch: ``["Bb", "Eb"]``. paper: a4 or
    letter. options: of tracks, of what is posted with them, of sheets and page; see PackOptions.

    executor: runs the jobs, such as a cluster's; every worker must see the folder and
    the soundfont under the same paths. By default all cores of this machine: new processes, so
    that a script must call this under ``if __name__ == "__main__":``.

    say: called with each line that the reader should know. progress: called with the share that is
    done, 0 to 1. agree: called with the estimate if much is to be made; False stops the pack.

    Raises GrooveError. Files that were finished before stay, and another run goes on from there.
    """
    prepared = prepare(
        form,
        folder,
        keys=keys,
        tempos=tempos,
        audio=audio,
        readers=readers,
        paper=paper,
        soundfont=soundfont,
        say=say,
        **options,
    )
    plan, place, names, known = prepared.plan, prepared.place, prepared.names, prepared.known
    good, missing, covering = prepared.good, prepared.missing, prepared.covering
    fonts = covering.fonts
    with in_words(place):
        _say_notes(plan, covering, say)
        packed = Packed(
            place, place / INDEX, place / plan.zip_name, (), tuple(sorted(good)), (), ()
        )
        if not (missing or prepared.stale) and is_whole(plan, place, good, fonts):
            say(f"nothing to do: all {len(good) + len(ABOUT):,} files are there as they should be")
            return packed
        try_targets(place / name for name in names if name not in good)
        if prepared.unknown and MANIFEST not in known.names:
            say(
                f"note: {place} has lost its {MANIFEST}, or it is damaged: "
                f"{_files(prepared.unknown)} there may be of this pack; each is made anew, and "
                "kept where it is the same"
            )
        if missing:
            _begin(missing, plan, place, say, agree)
        with claimed(place, names, known, plan.stem) as state:
            jobs = _jobs(missing, plan, place, fonts, prepared.asked, paper, known)
            said = {f"note: {note}" for note in covering.notes}
            made, aside = _make(jobs, place, executor, said, say, progress or (lambda done: None))
            work = state / "work-about"
            files = write_about(plan, place, work, good | made, fonts)
            removed, left_alone = remove_stale(place, names, known)
            aside += _say_aside(put_about(plan, place, work, files, known), place, say)
            if removed:
                say(f"removed what an earlier pack had and this one does not: {_files(removed)}")
            for name in left_alone:
                say(f"note: {place / name} is of an earlier pack, but was changed since; it stays")
        return replace(
            packed,
            made=tuple(sorted(made)),
            removed=tuple(removed),
            aside=tuple(sorted(aside)),
        )


def _files(names: Sized) -> str:
    return f"{len(names):,} {'file' if len(names) == 1 else 'files'}"


def _say_notes(plan: PackPlan, covering: Covering, say: Callable[[str], None]) -> None:
    """Say which soundfonts play, what their licences ask, and the form's notes."""
    from groove.form.style import tempo_note

    say(f"soundfont: {covering.fonts}")
    for asks in map(caution, covering.fonts.all):
        if asks:
            say(f"caution: {asks}")
    for line in (*covering.notes, *unheeded(plan.posting)):
        say(f"note: {line}")
    out_of_place: dict[str, list[str]] = {}
    for task in plan.key_folders[0].tracks:
        note = tempo_note(task.form.drums, task.form.tempo)
        if note:
            out_of_place.setdefault(note.partition(": ")[2], []).append(f"{task.form.tempo:g}")
    for note in plan.form.notes:
        if note.partition(": ")[2] not in out_of_place:
            say(f"note: {note}")
    for note, tempos in out_of_place.items():
        say(f"note: tempo {', '.join(tempos)}: {note}")


def _begin(
    missing: list[Task],
    plan: PackPlan,
    place: Path,
    say: Callable[[str], None],
    agree: Callable[[Estimate], bool],
) -> None:
    """Say what will be made. Raises GrooveError for lack of room, or if `agree` returns False."""
    expected = estimate_here(missing, plan.tasks)
    say(str(expected))
    there = next(path for path in (place, *place.absolute().parents) if path.is_dir())
    free = shutil.disk_usage(there).free
    if expected.size + expected.zip_size > free:
        raise GrooveError(
            f"{place}: no room for it: that takes about "
            f"{amount(expected.size + expected.zip_size)}, and {amount(free)} are free"
        )
    if any(task.kind == "video" for task in plan.tasks) and expected.zip_size > MOST_ZIP:
        say(
            f"note: the zip takes the videos in and will be about {amount(expected.zip_size)}, "
            "more than many sites take; fewer keys or tempos make it smaller, or post the folder"
        )
    if expected.is_huge and not agree(expected):
        raise GrooveError("that is a lot; nothing was begun; --yes begins without asking")


def _jobs(
    missing: list[Task],
    plan: PackPlan,
    place: Path,
    fonts: Fonts,
    asked: Wanted,
    paper: str,
    known: Earlier,
) -> list[Job]:
    """The missing tasks as jobs: the videos last, of which some take the sound that others have
    made by then, and the longest first."""
    from groove.handout.pack.jobs import Job

    private = not all(may_be_posted(font) for font in fonts.all)
    absolute = str(place.absolute())  # a worker elsewhere may stand in another folder
    at_any_place = fonts.absolute()
    return [
        Job(
            task,
            absolute,
            at_any_place,
            asked,
            paper,
            private,
            {piece.path: known.digests(piece.path) for piece in task.pieces},
            plan.posting,
            _sound_of(task, plan),
        )
        for task in sorted(missing, key=lambda task: (task.kind == "video", -weight(task)))
    ]


def _sound_of(video: Task, plan: PackPlan) -> str | None:
    """The name of the WAV in the pack that has a video's sound, if there is one."""
    tracks = (track for in_key in plan.key_folders for track in in_key.tracks)
    track = next((track for track in tracks if track.form is video.form), None)
    if video.kind != "video" or track is None:
        return None
    sounds = (piece for piece in track.pieces if piece.format == "wav")
    return next((piece.path for piece in sounds if piece.mix and piece.mix.mastered), None)


def _make(
    jobs: list[Job],
    place: Path,
    executor: Executor | None,
    said: set[str],
    say: Callable[[str], None],
    progress: Callable[[float], None],
) -> tuple[dict[str, Made], list[str]]:
    """Have the jobs done. said: the notes that need not be said again. Returns the files made, by
    path, and the names of those set aside."""
    from groove.handout.pack.jobs import run_jobs
    from groove.sound.parallel import cores

    absolute = str(place.absolute())
    weights = {job.task.pieces[0].path: weight(job.task) for job in jobs}
    whole, done = sum(weights.values()), 0.0
    made: dict[str, Made] = {}
    aside: list[str] = []
    progress(0.0)
    try:
        at_once = videos_at_once(cores(), free_memory())
        videos = [job for job in jobs if job.task.kind == "video"]
        others = jobs[: len(jobs) - len(videos)]
        outcomes = (
            outcome
            for some, most in ((others, cores()), (videos, at_once))
            if some
            for outcome in run_jobs(some, executor, most)
        )
        for outcome in outcomes:
            made |= {each.path: each for each in outcome.made}
            aside += _say_aside(outcome.aside, place, say)
            done += weights[outcome.made[0].path]
            progress(done / whole)
            for note in outcome.notes:
                if note not in said:
                    said.add(note)
                    say(note)
    except GrooveError as error:
        raise GrooveError(str(error).replace(absolute, str(place))) from None
    return made, aside


def _say_aside(aside: Iterable[Aside], place: Path, say: Callable[[str], None]) -> list[str]:
    """Say which files were set aside. Returns the names that they have now."""
    names = []
    for each in aside:
        kept = (place / each.path).with_name(each.kept_as)
        say(f"note: {place / each.path} was not as groove had made it; that is now {kept}")
        names.append(kept.relative_to(place).as_posix())
    return names
