"""Pages as marks, and their writers: SVG, PDF, fretboards, tablature, keyboards."""
