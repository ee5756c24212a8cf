"""The practice page: its data, sounds and HTML."""
