"""What kind of picture or film a file is, by its first bytes and not by its name."""

# Kind -> how such files are called, the first as we would.
ENDINGS = {
    "JPEG": (".jpg", ".jpeg", ".jpe", ".jfif"),
    "PNG": (".png", ".apng"),
    "WebP": (".webp",),
    "HEIC": (".heic", ".heif", ".hif"),
    "AVIF": (".avif",),
    "GIF": (".gif",),
    "TIFF": (".tif", ".tiff", ".dng", ".nef", ".arw", ".cr2", ".orf", ".rw2", ".pef"),
    "BMP": (".bmp",),
    "PSD": (".psd",),
    "raw": (".raf", ".cr3", ".raw"),
    "MP4": (".mp4", ".m4v", ".mov", ".3gp", ".qt", ".insv"),
    "Matroska": (".mkv", ".webm"),
    "AVI": (".avi",),
    "MPEG": (".mpg", ".mpeg", ".mts", ".m2ts"),
    "WMV": (".wmv",),
}
FILMS = ("MP4", "Matroska", "AVI", "MPEG", "WMV")
SHOWN = ("JPEG", "PNG", "WebP")  # what may lie in photos/
TAKEN = (*SHOWN, "HEIC", "AVIF")  # what `gudgeon photo` reads
KIND_OF = {ending: kind for kind, endings in ENDINGS.items() for ending in endings}
FIRST_BYTES = 32  # as many as `kind_of` looks at

_BRANDS = {b"avif": "AVIF", b"avis": "AVIF"} | dict.fromkeys(
    (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"mif2"), "HEIC"
)
_BEGINNINGS = (
    (b"\xff\xd8\xff", "JPEG"),
    (b"\x89PNG\r\n\x1a\n", "PNG"),
    (b"GIF87a", "GIF"),
    (b"GIF89a", "GIF"),
    (b"II*\0", "TIFF"),
    (b"MM\0*", "TIFF"),
    (b"II+\0", "TIFF"),
    (b"MM\0+", "TIFF"),
    (b"8BPS", "PSD"),
    (b"FUJIFILMCCD-RAW", "raw"),
    (b"\x1aE\xdf\xa3", "Matroska"),
    (b"\0\0\1\xba", "MPEG"),
    (b"\0\0\1\xb3", "MPEG"),
    (b"\x30\x26\xb2\x75\x8e\x66\xcf\x11", "WMV"),
)


def kind_of(first: bytes) -> str | None:
    """The kind of a file by its first bytes; None where it is neither a picture nor a film that is known here."""
    if first[:4] == b"RIFF":
        return {b"WEBP": "WebP", b"AVI ": "AVI"}.get(first[8:12])
    if first[4:8] == b"ftyp":
        return _BRANDS.get(first[8:12], "MP4")
    if first[4:8] in (b"moov", b"mdat", b"wide", b"skip") and first[:2] == b"\0\0":
        return "MP4"  # older films begin without saying what they are
    if first[:2] == b"BM" and first[6:10] == b"\0\0\0\0":
        return "BMP"
    return next((kind for beginning, kind in _BEGINNINGS if first.startswith(beginning)), None)
