"""Example solos, answers and licks, computed from a form."""
