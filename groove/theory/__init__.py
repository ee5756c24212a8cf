"""Pitch names, keys, chords and scales."""
