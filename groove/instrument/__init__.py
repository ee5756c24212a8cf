"""Fretboard and keyboard: places, positions, fingerings, double stops, tablature."""
