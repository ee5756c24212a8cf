"""Set lists: several tunes in one file, made into a book of charts and a folder of tracks."""
