"""Spoken quantities: the numbers of a sentence, their units, and what they limit."""
