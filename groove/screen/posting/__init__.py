"""Makes a lesson's pack from the screen: what is chosen, the run, what it has made."""
