"""The bench: the window in which a technician turns film into a procedure.

The only package that knows Qt. ``session`` holds the open document, the chosen step and the
films; ``views`` show them and turn keys and clicks into commands on the document; ``jobs``
runs what takes long beside the window's thread; ``actions`` is the one table of everything
a person can do, with its place in the menu and its keys.
"""
