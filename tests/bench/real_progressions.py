"""Counts the real progressions that can be written as they stand: python real_progressions.py"""

import sys
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.references.progression_material import (
    analyses,
    analysis,
    lead_sheets,
    written_analysis,
    written_lead_sheet,
    wrong_figures,
)


def main() -> None:
    pieces, figures, wrong = [], 0, Counter()
    for path in analyses():
        score = analysis(path)
        piece = written_analysis(path, score)
        pieces.append(piece)
        figures += piece.chords
        wrong.update(wrong_figures(score))
    for name, score in lead_sheets():
        pieces.append(written_lead_sheet(name, score))
    whole = [piece for piece in pieces if not piece.refused]
    for piece in pieces:
        if piece.refused:
            print(f"{piece.name}: {piece.refused[:160]}")
    print(f"{len(whole)} of {len(pieces)} pieces written as they stand")
    print(f"{figures - wrong.total()} of {figures} numerals of analyses read as the same chord")
    for (figure, reason), count in wrong.most_common(60):
        print(f"{count:4} {figure}: {reason[:140]}")


if __name__ == "__main__":
    main()
