"""Drawings as inline SVG: geometry here, shapes in templates/drawings/. Text reads at phone width (360 units wide).

Colours come from the page's style sheet, so that a drawing reads in light, dark and print; every meaning is
carried by shape, pattern or word as well.
"""

from markupsafe import Markup

from gudgeon.pages.page import environment
from gudgeon.wording import number


def svg(name: str, **values) -> Markup:
    text = environment().get_template(f"drawings/{name}.svg.j2").render(**values)
    return Markup("".join(line.strip() for line in text.splitlines()))


def progress_bar(share: float) -> Markup:
    """Expected minutes done over all expected minutes."""
    return svg("progress", id="progress", share=round(share * 332, 1), percent=number(share * 100, 0))
