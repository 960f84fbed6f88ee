"""What a browser may do on our pages, as a Content-Security-Policy: if markup ever leaked into a page, nothing in it would run.

Of inline scripts only the theme's own may run, by their digests. They are taken from the theme's templates and never from the
page: what stands in a page without being the theme's is held back, and the build warns of it.
"""

import base64
import hashlib
import re
from collections.abc import Iterable

# The stock theme's scripts that stand in the page itself, a template each.
TEMPLATES = "partials/javascripts/"
_SCRIPT = re.compile(r"<script\b([^>]*)>(.*?)</script\s*>", re.DOTALL | re.IGNORECASE)
# A script with an address is held to 'self'; JSON that the theme reads is data, and browsers ask no leave for it.
_NOT_INLINE = re.compile(r"""\bsrc\s*=|\btype\s*=\s*["']application/(?:ld\+)?json["']""", re.IGNORECASE)
_HEAD = '<meta charset="utf-8">'  # the policy holds for what follows it, so it comes as early as HTML allows

# No part of a page needs an inline style, a frame, a form's target, a plugin or another host. data: is for the marks that the
# theme's style sheet draws as masks. The worker is the search.
_RULES = (
    ("default-src", "'none'"),
    ("script-src", "'self'"),
    ("style-src", "'self'"),
    ("img-src", "'self' data:"),
    ("font-src", "'self'"),
    ("connect-src", "'self'"),
    ("worker-src", "'self'"),
    ("manifest-src", "'self'"),
    ("base-uri", "'none'"),
    ("form-action", "'self'"),
)
# What browsers take from a header only.
_HEADER_ONLY = ("frame-ancestors 'none'",)


def inline_scripts(html: str) -> list[str]:
    """The scripts that stand in a page, or in a template, and would run from there."""
    return [text for attributes, text in _SCRIPT.findall(html) if not _NOT_INLINE.search(attributes)]


def digest(script: str) -> str:
    """A script's name in a policy. Browsers take a script's text with line ends as LF."""
    text = script.replace("\r\n", "\n").replace("\r", "\n").encode("utf-8")
    return f"'sha256-{base64.b64encode(hashlib.sha256(text).digest()).decode('ascii')}'"


def policy(digests: Iterable[str]) -> str:
    """The policy that lets some inline scripts run."""
    return "; ".join(
        " ".join((name, value, *(sorted(set(digests)) if name == "script-src" else ()))) for name, value in _RULES
    )


def header(digests: Iterable[str]) -> str:
    """The same as the value of a header, for a server that can send one."""
    return "; ".join((policy(digests), *_HEADER_ONLY))


def with_policy(html: str, own: Iterable[str]) -> tuple[str, set[str], list[str]]:
    """A page with its policy; the digests in it; and the inline scripts that are not the theme's, which will not run.

    own: the theme's inline scripts as they come out on this page.
    """
    known = {digest(script) for script in own}
    there = {digest(script): script for script in inline_scripts(html)}
    allowed = known & set(there)
    line = f'<meta http-equiv="Content-Security-Policy" content="{policy(allowed)}">'
    page = html.replace(_HEAD, f"{_HEAD}\n      {line}", 1) if _HEAD in html else html
    return page, allowed, [script for name, script in there.items() if name not in known]
