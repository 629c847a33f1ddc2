"""Layouts and styles of controls, one for all that look alike: each is an object the browser is told of, and a page has hundreds of controls."""

from functools import cache

import ipywidgets as widgets


@cache
def layout(**traits):
    """The layout with these traits, shared: who wants to change one later makes its own."""
    return widgets.Layout(**traits)


@cache
def style(control):
    """The plain style of a class of controls, shared."""
    return control.style.klass()


def words(text="", **traits):
    """Words among controls, as HTML; traits are those of their layout."""
    return widgets.HTML(text, layout=layout(**traits), style=style(widgets.HTML))
