"""The band of an open form: patterns that are found and heard, and instruments."""
