"""Audio files: formats, encoders and tags."""
