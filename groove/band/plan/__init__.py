"""The plan of the performance: fills, pushes, tops, levels and who leads, read by all players."""
