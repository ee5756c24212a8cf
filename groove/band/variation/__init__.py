"""Derives cells of a pattern from the written ones, so that ten choruses differ."""
