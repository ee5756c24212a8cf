"""Metre, box notation, pattern files and the kit."""
