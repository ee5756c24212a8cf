"""The bassist: lines, their pitches and their places on the neck."""
