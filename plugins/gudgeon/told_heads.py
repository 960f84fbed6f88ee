"""What the heads of MkDocs's pages and its sitemap tell other programs of a site."""

from gudgeon.feeds.head import Head
from gudgeon.site import Site


class ToldHeads:
    """Of one site. A page is MkDocs's own object of it."""

    def __init__(self, site: Site):
        self._heads, self._changed = site.heads, site.changed()

    def tell(self, page) -> None:
        """Give a page its description, and the sitemap the day on which it last changed as far as the records tell: of a page that
        people write they tell nothing, and MkDocs would say the newest day of the site."""
        if self._changed:  # with no day on any page MkDocs has none for the sitemap itself
            page.update_date = self._changed.get(page.file.src_uri, "")
        head = self._heads.get(page.file.src_uri, Head())
        if head.description:
            page.meta.setdefault("description", head.description)

    def with_head(self, page, html: str) -> str:
        """A page's HTML with what its head tells programs."""
        head = self._heads.get(page.file.src_uri, Head())
        return html.replace("</head>", f"{head.lines}\n</head>", 1) if head.lines else html
