"""MIDI writing, soundfonts, synthesis and audio files."""
