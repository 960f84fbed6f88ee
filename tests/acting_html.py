"""What in a page could act, for tests that fill records with hostile text."""

import re
from html.parser import HTMLParser

LIVE = {"script", "iframe", "object", "embed", "form", "b", "base", "meta", "link", "style", "img", "textarea"}

OWN_PICTURE = re.compile(r"(?:\.\./)+photos/[\w.-]+\.(?:jpeg|webp|avif)")  # a copy that lies in the site


class Acting(HTMLParser):
    """Notes what in a page could act, and what our own templates do not make."""

    def __init__(self):
        super().__init__()
        self.acting: list[str] = []

    def handle_starttag(self, tag, attrs):
        if tag in LIVE and not (tag == "img" and OWN_PICTURE.fullmatch(dict(attrs).get("src") or "")):
            self.acting.append(tag)
        for name, value in attrs:
            address = name in ("href", "src", "action", "xlink:href") and re.match(
                r"\s*(?:javascript|data|vbscript):", value or "", re.IGNORECASE
            )
            if name.startswith("on") or name in ("style", "srcdoc") or address or "foreign" in (value or "").split():
                self.acting.append(f"{tag} {name}={value}")

    def handle_comment(self, data):
        if "window.ran" in data:
            self.acting.append(f"<!--{data}")


def acting(html: str) -> list[str]:
    """Everything in a page that could run, load or lead somewhere, as it stands there."""
    reader = Acting()
    reader.feed(html)
    return reader.acting


# Pages that load script files of ours -> how many.
OWN_SCRIPTS = {"made.md": 1, "search.md": 3}


def acting_beyond_own(uri: str, html: str) -> list[str]:
    """The same of the page at uri, without the script files of ours that it loads; a missing one is told too."""
    found, own = acting(html), OWN_SCRIPTS.get(uri, 0)
    if found.count("script") < own:
        return [*found, f"fewer than {own} scripts"]
    for _ in range(own):
        found.remove("script")
    return found
