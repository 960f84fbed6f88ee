"""Faults of the stock theme's HTML that no template block reaches, mended in the finished page."""

# The theme switches two check boxes off from being remembered in a way that HTML allows for text fields only.
FAULTS = (
    ('type="checkbox" id="__drawer" autocomplete="off"', 'type="checkbox" id="__drawer"'),
    ('type="checkbox" id="__search" autocomplete="off"', 'type="checkbox" id="__search"'),
)


def mend(html: str) -> str:
    """The page without the theme's faults."""
    for fault, right in FAULTS:
        html = html.replace(fault, right, 1)
    return html
