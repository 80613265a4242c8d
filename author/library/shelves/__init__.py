"""Procedures put into the library, withdrawn from it, and whole libraries as archives."""
