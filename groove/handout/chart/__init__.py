"""The chord chart: written, laid out, as text, SVG, PDF and MusicXML."""
