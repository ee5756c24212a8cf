"""Previews on the screen: chart and sheet page by page as they are printed, the practice page."""
