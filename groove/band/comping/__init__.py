"""Players of chords: rhythms, voicings and the hands that strike them."""
