"""The guitarist: shapes on the fretboard and the hand that strikes them."""
