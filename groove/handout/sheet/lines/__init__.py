"""Lines of notes on a lesson sheet: solo, licks, call and response, phrases; drawn and as text."""
