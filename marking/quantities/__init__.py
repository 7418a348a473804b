"""Strict text to numbers with units, and back to text as people read it."""
