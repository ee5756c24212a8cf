"""The form model, reading and checking it, and the chart it unrolls to."""
