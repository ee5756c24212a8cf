"""The part of the screen where the lesson sheet is chosen and the teacher's phrases are written."""
