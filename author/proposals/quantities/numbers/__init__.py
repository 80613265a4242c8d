"""Numbers out of English words and digits."""
