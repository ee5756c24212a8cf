"""The cover, the preview and the text that are posted with a track."""
