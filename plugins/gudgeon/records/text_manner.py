"""A file's text without the manner in which it is kept, and back: byte-order mark and line ends stay as somebody's editor has them."""

BOM = b"\xef\xbb\xbf"


def plain_text(raw: bytes) -> str:
    """The text of a file, with plain line ends and without a byte-order mark. Raises UnicodeDecodeError."""
    return raw.decode("utf-8-sig").replace("\r\n", "\n")


def in_manner_of(before: bytes | None, text: str) -> bytes:
    """A text as bytes, in the manner of the file that it takes the place of; what it only continues stays byte for byte."""
    if before is None:
        return text.encode("utf-8")
    plain = plain_text(before)
    last = before.rfind(b"\n")
    line_end = "\r\n" if last > 0 and before[last - 1 : last] == b"\r" else "\n"
    if text.startswith(plain):
        return before + text[len(plain) :].replace("\n", line_end).encode("utf-8")
    mark = BOM if before.startswith(BOM) else b""
    return mark + text.replace("\n", line_end).encode("utf-8")
