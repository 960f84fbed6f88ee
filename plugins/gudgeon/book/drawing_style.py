"""The look of drawings outside a browser: the site's own rules for them, with every colour spelled out, light, on paper."""

import functools
import re

from gudgeon.pages.page import asset_text

ANY = re.compile(r"([^{},]*):is\(([^()]*)\)([^{},]*)(?=\{)")  # a selector that stands for several
MIX = re.compile(r"color-mix\(in srgb, (#[0-9a-f]{6}) ([0-9.]+)%, (#[0-9a-f]{6})\)")


@functools.cache
def drawing_style() -> str:
    """CSS of all that may stand in a drawing; its own width is the book's business."""
    css = re.sub(r"/\*.*?\*/", "", asset_text("gudgeon.css"), flags=re.DOTALL)
    colours = dict(re.findall(r"(--g-[a-z]+): (#[0-9a-f]{6});", css.partition("}")[0]))
    rules = [
        line
        for line in css.splitlines()
        if line.startswith(".g-drawing ")
        and not line.startswith(".g-drawing {")
        and ":hover" not in line
        and ":focus" not in line
        and "paint-order" not in line  # which writers of PDF do not know: the halo would cover its letters
    ]
    spelled = re.sub(r"var\((--g-[a-z]+)\)", lambda name: colours[name[1]], "\n".join(rules))
    # Ink on paper is all that a letter is here; "currentcolor" is read by no drawing program in small letters.
    spelled = re.sub(r"currentcolor", colours["--g-ink"], spelled, flags=re.IGNORECASE)
    for_each = ANY.sub(
        lambda any_: ", ".join(f"{any_[1]}{one.strip()}{any_[3]}" for one in any_[2].split(",")), spelled
    )
    return MIX.sub(lambda mix: _mixed(mix[1], float(mix[2]) / 100, mix[3]), for_each)


def _mixed(colour: str, share: float, other: str) -> str:
    channels = [(int(colour[at : at + 2], 16), int(other[at : at + 2], 16)) for at in (1, 3, 5)]
    return "#" + "".join(f"{round(share * one + (1 - share) * two):02x}" for one, two in channels)
