"""One function for each job a user has; the command line and the window both call them.

Each takes plain values, a progress and a cancel flag, and returns a frozen result. None
prints, asks or reads global settings.
"""
