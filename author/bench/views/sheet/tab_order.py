"""The order in which Tab goes through a sheet whose parts are made when they are first seen."""

from __future__ import annotations

from itertools import pairwise

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QWidget


def let_follow(before: QWidget, made: QWidget) -> QWidget:
    """Let Tab come to what is in a widget right behind another one, in the order it was made.

    Qt leads to a widget that is made late behind all others of the window.

    Args:
        before: what Tab is to come from; in the same window.
        made: what was made.

    Returns:
        What Tab comes to last in it; ``before`` if there is nothing.
    """
    left = {each for each in made.findChildren(QWidget) if _takes_tab(each)}
    found: list[QWidget] = []
    # All are looked for first: a field takes its inner widgets with it when it is moved.
    each = made.nextInFocusChain()
    while left and each is not None and each is not made:
        if each in left:
            left.remove(each)
            found.append(each)
        each = each.nextInFocusChain()
    for last, each in pairwise((before, *found)):
        QWidget.setTabOrder(last, each)
    return found[-1] if found else before


def _takes_tab(widget: QWidget) -> bool:
    tab = Qt.FocusPolicy.TabFocus.value
    return bool(widget.focusPolicy().value & tab) and widget.focusProxy() is None
