"""The lessons of the folder, and how a new one begins."""
