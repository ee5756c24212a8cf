"""The screen on which a lesson is made: a server on this machine alone, and its page."""
