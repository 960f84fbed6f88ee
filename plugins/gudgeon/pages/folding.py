"""A long page that people wrote, folded under its headings: one with `fold: sections` in its front matter. Printed it is open."""

import re

SECTIONS = "sections"
_HEADING = re.compile(r"<h2\b.*?</h2>", re.DOTALL)


def fold_sections(content: str) -> str:
    """The HTML of a page with what stands under each second heading folded, and the heading as what opens it."""
    headings = list(_HEADING.finditer(content))
    if not headings:
        return content
    ends = [heading.start() for heading in headings[1:]] + [len(content)]
    folded = [
        f'<details class="g-more"><summary>{heading[0]}</summary>\n{content[heading.end() : end].strip()}\n</details>\n'
        for heading, end in zip(headings, ends, strict=True)
    ]
    return content[: headings[0].start()] + "".join(folded)
