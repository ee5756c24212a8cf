"""The road through a tune: the order of play, directions to the band, the course of the tempo."""
