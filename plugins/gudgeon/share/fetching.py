"""Fetches what lies at an address or in a file, within bounds of size and time."""

import queue
import threading
import time
import urllib.parse
import urllib.request
from pathlib import Path

from gudgeon.records.problems import shown
from gudgeon.records.yaml_text import BIGGEST

PATIENCE = 20  # seconds for an address to answer at all
LONGEST = 60  # seconds for all of what it gives


class Refused(Exception):
    """What was to be brought is not taken; the message says why and what to do."""


class NotReached(Refused):
    """The address or the file cannot be reached."""


def _is_local(address: str) -> bool:
    return urllib.parse.urlsplit(address).hostname in ("localhost", "127.0.0.1", "::1")


class _OnlyWeb(urllib.request.HTTPRedirectHandler):
    def redirect_request(self, req, fp, code, msg, headers, newurl):
        check_address(newurl)
        if _is_local(newurl) and not _is_local(req.full_url):
            raise Refused(f"{shown(req.full_url)} leads on to this computer itself, and is not followed.")
        return super().redirect_request(req, fp, code, msg, headers, newurl)


def check_address(address: str) -> None:
    """Raises Refused where an address is none of the web's. Unencrypted only to this computer itself."""
    try:
        scheme = urllib.parse.urlsplit(address).scheme
        fits = scheme == "https" or (scheme == "http" and _is_local(address))
    except ValueError:
        fits = False
    if not fits:
        raise Refused(f'an address begins with https://. Found "{shown(address)}".')


def fetch(where: str) -> bytes:
    """The content of an address or a file. Raises Refused."""
    if "://" not in where:
        return _read(Path(where), where)
    check_address(where)
    answers: queue.Queue[bytes | Exception] = queue.Queue()
    # A server that sends a byte now and then would hold us up for ever: nobody waits for its thread.
    threading.Thread(target=_ask, args=(where, answers), daemon=True).start()
    try:
        answer = answers.get(timeout=LONGEST + 5)
    except queue.Empty:
        raise NotReached(f"{shown(where)} gives no whole answer within {LONGEST} s.") from None
    if isinstance(answer, Exception):
        raise answer
    return answer


def _read(path: Path, where: str) -> bytes:
    try:
        if not path.is_file():
            raise NotReached(f"there is no file {shown(where)}.")
        if path.stat().st_size > BIGGEST:
            raise Refused(f"the file is over {BIGGEST // 1_000_000} MB; nothing that travels is.")
        return path.read_bytes()
    except (OSError, ValueError) as error:
        said = getattr(error, "strerror", None) or "its name is none"
        raise NotReached(f"{shown(where)} cannot be read: {said}.") from None


def _ask(where: str, answers: "queue.Queue[bytes | Exception]") -> None:
    try:
        answers.put(_answer(where))
    except Exception as error:  # it is told where the answer is waited for
        answers.put(error)


def _answer(where: str) -> bytes:
    ends = time.monotonic() + LONGEST
    content = b""
    try:
        with urllib.request.build_opener(_OnlyWeb).open(where, timeout=PATIENCE) as answer:
            while len(content) <= BIGGEST and (part := answer.read1(65_536)):
                content += part
                if time.monotonic() > ends:
                    raise NotReached(f"{shown(where)} gives no whole answer within {LONGEST} s.")
            told = answer.headers.get("Content-Length")
    except Refused:
        raise
    except Exception as error:  # a server that does not keep to the protocol makes many kinds
        said = shown(str(getattr(error, "reason", error)) or type(error).__name__)
        raise NotReached(f"{shown(where)} cannot be reached: {said}.") from None
    if len(content) > BIGGEST:
        raise Refused(f"{shown(where)} gives over {BIGGEST // 1_000_000} MB; nothing that travels is so large.")
    if told is not None and told.isdigit() and len(content) < int(told):
        raise NotReached(f"{shown(where)} broke off before its end.")
    return content
