"""Text to amounts and back; units."""
