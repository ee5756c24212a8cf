"""Videos that follow the music."""
