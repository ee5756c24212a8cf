"""Lesson contents: chord scales, the guide to a form, practice plan and phrases."""
