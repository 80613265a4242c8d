"""Reads a talk ahead: what a small network, which knows words by their use, thinks of it."""
