"""Melodies and riffs: written lines of notes, played over the road."""
