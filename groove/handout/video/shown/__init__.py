"""Beside the chart: what to play over the chord that sounds."""
