"""The list of what a club offers, for programs."""

import json

from gudgeon.records.model import Knowledge
from gudgeon.records.shared_files import digest_of
from gudgeon.share.item import Offered, SharedItem
from gudgeon.share.names import in_its_first_words

INDEX = "share/index.json"


def index(shelf: Knowledge, items: list[Offered]) -> bytes:
    """The list of what is offered, with digests, and of what was taken back."""
    notices = shelf.sharing.withdrawn if shelf.sharing else ()
    listed = {
        "format": "gudgeon-share-index-1",
        "club": shelf.sharing.club if shelf.sharing else None,
        "withdrawn": [notice.model_dump(mode="json") for notice in notices],
        "items": [
            {
                "kind": offered.item.kind,
                "id": offered.item.id,
                "title": offered.item.title,
                "licence": offered.item.licence,
                "path": offered.path.removeprefix("share/"),
                "digest": offered.digest,
                "says": digest_of(in_its_first_words(offered.item)),
                **({"withdrawn": True} if _is_withdrawn(shelf, offered.item) else {}),
            }
            for offered in items
        ],
    }
    return (json.dumps(listed, indent=1, ensure_ascii=False) + "\n").encode("utf-8")


def _is_withdrawn(shelf: Knowledge, item: SharedItem) -> bool:
    """Whether it is a rule whose grade says that it is withdrawn."""
    return item.kind == "rule" and shelf.rules[item.id].grade == "withdrawn"
