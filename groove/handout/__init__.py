"""Papers, pages and videos handed out with a track: the endings of their files, their choices."""

CHARTS = (".svg", ".pdf", ".musicxml")
SHEETS = (".pdf", ".svg", ".md", ".json", ".musicxml", ".mid")
TEXTS = (".txt", ".md")

SIZES = ("wide", "upright", "square")
THEMES = ("light", "dark")
SHOWS = NO_SHOW, NECK, KEYBOARD, TAB = ("none", "neck", "keyboard", "tab")
"""Of videos and covers: the sizes of a frame, its colours, what stands beside the chart."""
