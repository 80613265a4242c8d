"""Orders: what is to be done, out of the many ways in which people say it."""
