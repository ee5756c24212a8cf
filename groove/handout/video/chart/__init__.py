"""The rows of the chart in a video: what stands on them, which stand together, how large."""
