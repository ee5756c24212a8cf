"""How a track ends: endings as data, the one that is played, and the bars that it adds."""
