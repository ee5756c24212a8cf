"""Endings of a track: the data, the one that is played, and the bars that it adds."""
