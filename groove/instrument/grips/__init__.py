"""Chord grips on any neck: shapes with fingers, and the choice of them for a learner."""
