"""Lines that come from the track and its harmony: the bass line, and lines of guide tones."""
