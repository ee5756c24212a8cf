"""Staves: rhythms as written notes, clefs and signatures, stems and beams, lines with tablature."""
