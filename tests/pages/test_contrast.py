"""Contrast of what stands on what, worked out from the style sheet: letters in drawings and marks of states are what a checker in a
browser cannot decide. The sum and the least are those of WCAG 2.2 (relative luminance; success criteria 1.4.3 and 1.4.11)."""

import re

import pytest
from gudgeon.pages.page import asset_text

TEXT, SHAPE = 4.5, 3.0  # the least contrast of letters, and of lines and marks that carry meaning
LETTERS = ("--g-ink", "--g-accent", "--g-warm", "--g-alarm")
GROUNDS = ("--g-paper", "--g-soft")
SCHEMES = {"light": ":root", "dark": '[data-md-color-scheme="slate"]'}


def colours(scheme):
    """The colours of a scheme by name: those of the light one where the dark one names none."""
    css, named = asset_text("gudgeon.css"), {}
    for selector in dict.fromkeys((SCHEMES["light"], SCHEMES[scheme])):
        block = re.search(rf"^{re.escape(selector)} \{{(.*?)^\}}", css, re.MULTILINE | re.DOTALL)
        named |= dict(re.findall(r"(--[\w-]+): (#[0-9a-f]{6})\b", block[1]))
    return named


def luminance(colour):
    shares = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_the_sum_is_that_of_the_guidelines():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01), "the grey that just fails"


@pytest.mark.parametrize("scheme", SCHEMES)
def test_letters_and_marks_stand_out_from_what_they_stand_on(scheme):
    named = colours(scheme)
    grounds = {name: named[name] for name in GROUNDS} | {"page": named.get("--md-default-bg-color", "#ffffff")}
    for ground, colour in grounds.items():
        for letters in LETTERS:
            assert contrast(named[letters], colour) >= TEXT, (letters, ground)
        assert contrast(named["--g-line"], colour) >= SHAPE, ground


def test_letters_of_drawings_are_of_these_colours():
    """A colour that this file does not know would be of unknown contrast."""
    css = asset_text("gudgeon.css")
    for rule in re.findall(r"^(\.g-drawing[^{]*(?:text|tick|label|value)[^{]*)\{([^}]*)\}", css, re.MULTILINE):
        for colour in re.findall(r"(?<![\w-])(?:fill|color): ([^;]+);", rule[1]):
            assert colour in {f"var({name})" for name in LETTERS} | {"currentcolor"}, rule


@pytest.mark.parametrize("scheme", SCHEMES)
def test_letters_stand_out_from_tinted_metal(scheme):
    """What a checker is told of the ground of a drawing's letters is the sheet: where they stand on a tint, this is worked out here."""
    css, named = asset_text("gudgeon.css"), colours(scheme)
    tints = [
        (name, float(share) / 100)
        for name, share in re.findall(r"fill: color-mix\(in srgb, var\((--[\w-]+)\) (\d+)%, var\(--g-paper\)\)", css)
    ]
    tints += [
        (name, float(share)) for name, share in re.findall(r"fill: var\((--[\w-]+)\); fill-opacity: (\.[1-4]\d*)", css)
    ]
    assert len(tints) >= 6
    for name, share in tints:
        ground = "#" + "".join(
            f"{round(share * int(named[name][at : at + 2], 16) + (1 - share) * int(named['--g-paper'][at : at + 2], 16)):02x}"
            for at in (1, 3, 5)
        )
        assert contrast(named["--g-ink"], ground) >= TEXT, (name, share)
