"""The commands, which parse, call the library and print; `groove.cli` loads them by name."""
