"""The keys player: voicings under two hands, and what moves in them."""
