"""Soundfonts, and FluidSynth playing the stems."""
