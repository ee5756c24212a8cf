"""The commands, each parsing, calling and printing; `groove.cli` puts them together."""
