"""The mix: levels, dynamics, loudness and limiters."""
