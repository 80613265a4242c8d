"""What is said in the language of the window where no object of Qt says it.

Called by this name, with the context and the text written out, so that ``pylupdate6`` finds
every text for those who translate.
"""

from __future__ import annotations

from PyQt6.QtCore import QCoreApplication

translate = QCoreApplication.translate


def capital(text: str) -> str:
    """Return a text that begins with a capital, the rest as it is."""
    return text[:1].upper() + text[1:]
