"""A feed as JSON Feed 1.1 (https://www.jsonfeed.org/version/1.1/)."""

import json

from gudgeon.feeds.feed import Entry, Feed, allowed, moment

TYPE = "application/feed+json"
VERSION = "https://jsonfeed.org/version/1.1"


def json_feed(feed: Feed) -> bytes:
    """The file."""
    written = {
        "version": VERSION,
        "title": allowed(feed.title),
        "home_page_url": feed.home,
        "feed_url": feed.json,
        "description": allowed(feed.about),
        "items": [_item(entry) for entry in feed.newest],
    }
    return (json.dumps(written, indent=1, ensure_ascii=False) + "\n").encode("utf-8")


def _item(entry: Entry) -> dict:
    item = {
        "id": entry.id,
        "url": entry.address,
        "title": allowed(entry.title),
        "content_html": allowed(entry.content),
        "summary": allowed(entry.summary),
        "image": entry.image,
        "date_published": moment(entry.published),
        "date_modified": moment(entry.updated),
        "authors": [{"name": allowed(entry.author)}],
        "tags": [allowed(name) for _, name in entry.about],
        # The standard has no key for a licence; a key of one's own begins with an underscore.
        "_licence": {"spdx": allowed(entry.licence)} if entry.licence else None,
    }
    return {key: value for key, value in item.items() if value not in (None, [])}
