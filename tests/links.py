"""Reads finished pages: their links, ids and faults, and which links lead nowhere."""

import json
import re
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urldefrag, urljoin, urlsplit


class Links(HTMLParser):
    def __init__(self):
        super().__init__()
        self.links, self.ids, self.twice, self.faults, self.labels = [], set(), [], [], []

    def handle_starttag(self, tag, attrs):
        found = dict(attrs)
        if found.get("id") in self.ids - {None}:
            self.twice.append(found["id"])
        self.ids.add(found.get("id"))
        if found.get("type") == "checkbox" and "autocomplete" in found:
            self.faults.append(found["id"])
        if tag == "label" and "for" in found:
            self.labels.append(found["for"])
        for name in ("href", "src"):
            if found.get(name):
                self.links.append(found[name])


def read(path: Path) -> Links:
    links = Links()
    text = path.read_text(encoding="utf-8")
    links.feed(text)
    data = re.search(r'<script type="application/json" id="known-data">(.*?)</script>', text)
    if data:  # the page for a phone opens at a place that its address names
        links.ids |= places_of(json.loads(data[1])["shown"])
    return links


def places_of(shown: dict) -> set[str]:
    parts = {ref.partition(".")[0] for ref in shown["features"]}
    return {
        *(f"of={ref}" for ref in shown["features"]),
        *(f"op={operation['id']}" for operation in shown["operations"]),
        *(f"part={part}" for part in [*parts, *shown["parts"]]),
    }


def broken_links(site: Path) -> list[str]:
    """Internal links and anchors that lead nowhere."""
    pages = {path: read(path) for path in site.rglob("*.html")}
    broken = []
    for path, page in pages.items():
        base = "http://site/" + path.relative_to(site).as_posix()
        for link in page.links:
            url, anchor = urldefrag(urljoin(base, link))
            if urlsplit(url).netloc != "site" or path.name == "404.html" or link.startswith("javascript:"):
                continue
            target = site / unquote(urlsplit(url).path).lstrip("/")
            target = target / "index.html" if target.is_dir() else target
            if not target.exists() or (anchor and target in pages and unquote(anchor) not in pages[target].ids):
                broken.append(f"{path.relative_to(site)}: {link}")
    return broken


def unreached(site: Path) -> list[str]:
    """Pages to which no way leads from the first one, by links alone."""
    waiting, seen = [site / "index.html"], {site / "index.html"}
    while waiting:
        path = waiting.pop()
        base = "http://site/" + path.relative_to(site).as_posix()
        for link in read(path).links:
            url = urlsplit(urldefrag(urljoin(base, link))[0])
            if url.netloc != "site":
                continue
            target = site / unquote(url.path).lstrip("/")
            target = target / "index.html" if target.is_dir() else target
            if target.suffix == ".html" and target.is_file() and target not in seen:
                seen.add(target)
                waiting.append(target)
    made = {*site.rglob("*.html")} - old_addresses(site)
    return sorted(path.relative_to(site).as_posix() for path in made - seen - {site / "404.html"})


def old_addresses(site: Path) -> set[Path]:
    """Pages that only lead on to where something stands now."""
    return {path for path in site.rglob("*.html") if b'http-equiv="refresh"' in path.read_bytes()[:600]}
