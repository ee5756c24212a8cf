"""Compare what two checkouts make: MIDI, audio, charts, sheets and pages, byte for byte.

Run as ``python -m tests.bench.same_output OLD NEW [KIND ...]``. OLD and NEW are the folders of two
checkouts that this Python can run; KIND is one or more of ``midi``, ``audio``, ``papers``, ``page``
(all if left out). Each checkout makes the MIDI of every shipped form with every drum pattern that
takes it, and of the demo forms WAV, chart, sheet and practice page. Prints a line for each file
that differs or that one side lacks, then how many are the same; asserts nothing.

A form is known by the name of its file, so that a changed title shows as a changed file and not as
another one.
"""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

KINDS = ("midi", "audio", "papers", "page")
PAPERS = {
    "chart": (".svg", ".pdf", ".musicxml"),
    "sheet": (".svg", ".pdf", ".md", ".json"),
}


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()[:16]


def made_midi(folder: Path) -> Iterator[tuple[str, str]]:
    """Every shipped form with every drum pattern that takes it, named ``form + pattern``."""
    import groove
    from groove import library

    for form in library.names("forms"):
        for drums in library.names("drums"):
            name = f"midi {form} + {drums}"
            try:
                paths = groove.make(form_of(form, drums), folder / form / drums)
            except groove.GrooveError:
                yield name, "refused"
            else:
                yield name, digest(paths[0])


def form_of(name: str, drums: str) -> object:
    import groove

    return groove.read_form(name, drums=drums, choruses=2)


def demo_forms() -> list[Path]:
    return sorted(Path("demo").glob("*.toml"))


def run(*arguments: object) -> str:
    """Run groove; what it prints on standard output."""
    command = [sys.executable, "-m", "groove", *map(str, arguments)]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    return done.stdout


def made_audio(folder: Path) -> Iterator[tuple[str, str]]:
    for number, form in enumerate(demo_forms()):
        target = folder / str(number)
        run("make", form, "--audio", "wav", "--stems", "-o", target)
        for path in sorted(target.iterdir()):
            part = path.stem.rpartition("_")[2]
            yield f"audio {number} {part if part.isalpha() else 'mix'}{path.suffix}", digest(path)


def made_papers(folder: Path) -> Iterator[tuple[str, str]]:
    """Chart and sheet of every demo form and every shipped one, in all their formats."""
    import groove
    from groove import library

    del groove
    forms = [*demo_forms(), *library.names("forms")]
    for number, form in enumerate(forms):
        for kind, endings in PAPERS.items():
            target = folder / f"{number}-{kind}"
            target.mkdir()
            files = [word for ending in endings for word in ("-o", target / f"x{ending}")]
            said = run(kind, form, *files)
            text = run(kind, form)
            yield f"papers {form} {kind} text", hashlib.sha256(text.encode()).hexdigest()[:16]
            for count, path in enumerate(map(Path, said.splitlines())):
                yield f"papers {form} {kind} {count + 1} {path.suffix}", digest(path)


def made_page(folder: Path) -> Iterator[tuple[str, str]]:
    for number, form in enumerate(demo_forms()):
        target = folder / f"{number}.html"
        run("page", form, "-o", target)
        yield f"page {number}", digest(target)


def collect(kinds: list[str]) -> None:
    """Print what the checkout around us makes, as JSON."""
    makers = {"midi": made_midi, "audio": made_audio, "papers": made_papers, "page": made_page}
    found: dict[str, str] = {}
    for kind in kinds:
        with tempfile.TemporaryDirectory() as folder:
            found |= dict(makers[kind](Path(folder)))
    json.dump(found, sys.stdout)


def digests(checkout: str, kinds: list[str]) -> dict[str, str]:
    script = Path(__file__).resolve()
    done = subprocess.run(
        [sys.executable, script, "--collect", *kinds],
        cwd=checkout,
        env={**os.environ, "PYTHONPATH": str(Path(checkout).resolve())},
        check=True,
        stdout=subprocess.PIPE,
    )
    found: dict[str, str] = json.loads(done.stdout)
    return found


def main() -> None:
    if sys.argv[1] == "--collect":
        collect(sys.argv[2:])
        return
    old, new, *kinds = sys.argv[1:]
    before, after = (digests(checkout, kinds or list(KINDS)) for checkout in (old, new))
    same = 0
    for name in sorted(before.keys() | after.keys()):
        was, now = before.get(name, "none"), after.get(name, "none")
        if was == now:
            same += 1
        else:
            print(f"{name}: {was} -> {now}")
    print(f"{same} of {len(before.keys() | after.keys())} the same")


if __name__ == "__main__":
    main()
