"""Papers and pages handed out with a track, and the endings of their files."""

CHARTS = (".svg", ".pdf", ".musicxml")
SHEETS = (".pdf", ".svg", ".md", ".json", ".musicxml", ".mid")
TEXTS = (".txt", ".md")
