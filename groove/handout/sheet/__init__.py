"""The lesson sheet."""
