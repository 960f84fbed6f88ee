"""Who has made one: the list of parts as one that is asked, and the whole list where no script runs."""

import pytest
from browser.test_browser import PHONE

pytestmark = pytest.mark.browser


def test_the_list_of_parts_is_asked(chromium, address):
    page = chromium.new_page(viewport=PHONE)
    page.goto(address + "made/")
    told, every = page.locator(".g-made-asked [role=status]"), page.locator(".g-made").count()

    def ask(**fields):
        """The parts that are shown once the fields say so, and no others do."""
        page.get_by_role("button", name="Show all").click()
        for name, value in fields.items():
            field = page.locator(f".g-made-asked [name={name}]")
            if name == "wrong":
                field.set_checked(value)
            elif name in ("least", "most"):
                field.fill(value)
            else:
                field.select_option(value)
        return page.locator(".g-made strong:first-child").filter(visible=True).all_inner_texts()

    assert told.inner_text() == "" and every > 30
    # The bore of one engine is 4.25 in, of the other 92.5 mm: by size in either unit, both ends counted in.
    rings = ["Piston ring 1", "Piston ring 2", "Piston ring 3"]
    assert ask(family="ring", least="4.2", most="4,3") == rings and told.inner_text() == "3 parts"
    assert ask(family="ring", unit="1", least="92", most="93") == ["Top ring"] and told.inner_text() == "1 part"
    assert ask(family="ring", least="4.2", most="4.3", wrong=True) == ["Piston ring 1"]
    assert ask(process="lapping", metal="medium-carbon steel") == ["Gudgeon pin", "Exhaust valve"]
    assert ask(gauge="slot blocks (home-ground, stepped 0.0005)") == ["Trunk piston"]
    assert ask(least="50") == [] and told.inner_text() == "No part in these builds is like that."
    ask(least="five")
    assert told.inner_text() == "A size is a number, such as 5 or 5.25."
    ask()
    assert told.inner_text() == "" and page.locator(".g-made-family").filter(visible=True).count() > 10
    page.close()


def test_without_script_the_whole_list_stands_there(chromium, address):
    context = chromium.new_context(viewport=PHONE, java_script_enabled=False)
    page = context.new_page()
    page.goto(address + "made/")
    assert not page.locator(".g-made-asked").is_visible()
    page.locator(".g-made-family[data-family=ring] summary").click()
    assert page.get_by_role("link", name="Piston ring 1").is_visible()
    context.close()
