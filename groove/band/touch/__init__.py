"""Touch: how people place and weigh their strokes, and the feel that the band shares."""
