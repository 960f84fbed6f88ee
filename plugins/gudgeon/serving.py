"""Keeps a served site standing: what fails is told in the terminal and on the page, and the next save mends it.

`python -m gudgeon.serving` takes the words of `mkdocs serve`, and begins even where the first build fails.
"""

import html
import logging
import os
import socket
import sys
import threading
import time
import traceback
from collections.abc import Callable, Iterable
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from mkdocs.__main__ import cli
from mkdocs.config import load_config
from mkdocs.exceptions import MkDocsException
from mkdocs.plugins import get_plugin_logger

from gudgeon.boundary import failure
from gudgeon.records.problems import Where, seen_lines

log = get_plugin_logger(__name__)
USUAL = ("127.0.0.1", 8000)
PULSE = 0.5  # seconds between two looks at what is watched
NOT_WATCHED = {".venv", ".git", "site", "node_modules", "__pycache__", ".cache"}
PAGE = """\
<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><title>The site could not be built</title>
<meta name="viewport" content="width=device-width"><meta http-equiv="refresh" content="2">
<style>body {{ font: 1rem/1.5 sans-serif; max-width: 50rem; margin: 2rem auto; padding: 0 1rem }} pre {{ white-space: pre-wrap; overflow-wrap: anywhere }}</style>
</head>
<body><main><h1>The site could not be built</h1>
<pre>{text}</pre>
<p>The pages stand here again as soon as a save has mended it. Nothing has to be started anew.</p></main></body>
</html>
"""


class _Said(logging.Handler):
    """What a build logs as errors, for the page."""

    def __init__(self):
        super().__init__(logging.ERROR)
        self.lines: list[str] = []

    def emit(self, record):
        self.lines.append(record.getMessage())


@contextmanager
def _listening():
    said = _Said()
    logging.getLogger("mkdocs").addHandler(said)
    try:
        yield said
    finally:
        logging.getLogger("mkdocs").removeHandler(said)


def fault_of(error: BaseException, said: Iterable[str] = ()) -> str:
    """What a build ended in, for people."""
    lines = list(dict.fromkeys(line.strip() for line in said))
    own = str(error).strip()
    if isinstance(error, (MkDocsException, SystemExit)):
        text = "\n".join([*lines, *([own] if own and own not in lines else [])]) or "The build was broken off."
    else:
        told = failure("", Where("mkdocs.yml"), error if isinstance(error, Exception) else Exception(own))
        text = (
            f"{told.says} (in {told.code}). This is a fault of the tool, or of a plugin beside it: please report it with the "
            "record that was saved last."
        )
    return seen_lines(text)


def _tell(fault: str) -> None:
    log.error(f"The site could not be built:\n{fault}\nIt is tried again with the next save.")


class Standing:
    """What a server that stays up shows: the site, or why there is none at the moment."""

    def __init__(self, server, builder: Callable[[], None]):
        self._server, self._builder, self._fault = server, builder, ""
        self._asleep: set[str] = set()
        server.builder = self.build
        server.set_app(self.answer)

    def build(self) -> None:
        """Build, whatever happens: a failure is told and shown, and the server goes on."""
        with _listening() as said:
            try:
                self._builder()
                self._fault = ""
            except (Exception, SystemExit) as error:
                self._fault = fault_of(error, said.lines)
                _tell(self._fault)
                log.debug(traceback.format_exc())

    def answer(self, environ, start_response):
        """The site's own answer, or the page that tells what is wrong."""
        if not self._fault or environ["PATH_INFO"].startswith("/livereload/"):
            return self._server.serve_request(environ, start_response)
        start_response(
            "503 Service Unavailable", [("Content-Type", "text/html; charset=utf-8"), ("Cache-Control", "no-store")]
        )
        return [fault_page(self._fault)]

    def keep_watching(self, more: Iterable[Path] = ()) -> None:
        """Watch anew, from another thread, what was deleted and came back, and folders that were not there yet."""
        waiting = {str(path) for path in more if not path.exists()}

        def look():
            while not getattr(self._server, "_shutdown", False):
                time.sleep(PULSE)
                try:
                    self._look(waiting)
                except Exception:  # a folder went in this very moment: the next look sees it
                    log.debug(traceback.format_exc())

        threading.Thread(target=look, daemon=True).start()

    def _look(self, waiting: set[str]) -> None:
        for path in [path for path in waiting if os.path.exists(path)]:
            waiting.discard(path)
            self._server.watch(path)
            self._build_soon()
        if not self._server.observer.is_alive():
            return
        dead = {emitter.watch.path for emitter in list(self._server.observer.emitters) if not emitter.is_alive()}
        for path in dead:
            if os.path.exists(path):
                self._server.unwatch(path)
                self._server.watch(path)
                self._asleep.discard(path)
                self._build_soon()
            elif path not in self._asleep:
                self._asleep.add(path)
                self._build_soon()

    def _build_soon(self) -> None:
        with self._server._rebuild_cond:
            self._server._want_rebuild = True
            self._server._rebuild_cond.notify_all()


def fault_page(fault: str) -> bytes:
    """The page that tells what is wrong, and looks again by itself."""
    return PAGE.format(text=html.escape(fault)).encode("utf-8")


def is_free(host: str, port: int) -> bool:
    """Whether a site can be served there."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family) as trial:
        if os.name != "nt":
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind((host, port))
        except OSError:
            return False
    return True


def next_free(host: str, port: int) -> int | None:
    """The next port that is free."""
    return next((other for other in range(port + 1, min(port + 100, 65536)) if is_free(host, other)), None)


def taken(host: str, port: int) -> str | None:
    """That a port is taken and which is free, for people; None where it is free."""
    if is_free(host, port):
        return None
    other = next_free(host, port)
    free = f" The next free one is {other}: -a {host}:{other}" if other else ""
    return f"Port {port} of {host} is taken: another site may be served there, or it is not this computer's.{free}"


def serve(words: list[str]) -> None:
    """`mkdocs serve` with these words, begun anew after every fault until it stands."""
    given = any(word in ("-a", "--dev-addr") or word.startswith(("--dev-addr=", "-a")) for word in words)
    host, port = USUAL if given else _address_of_settings()
    if not given:
        other = None if is_free(host, port) else next_free(host, port)
        if other:
            print(f"Port {port} is taken: serving on http://{host}:{other}/ instead.", file=sys.stderr, flush=True)
            port = other
        words = ["-a", f"{host}:{port}", *words]
    else:
        host, port = _address(words)
    problem = taken(host, port)
    if problem:
        sys.exit(problem)
    while True:
        with _listening() as said:
            try:
                cli.main(["serve", *words], prog_name="mkdocs", standalone_mode=False)
                return
            except (Exception, SystemExit) as error:
                if isinstance(error, SystemExit) and not error.code:
                    return
                fault = fault_of(error, said.lines)
        _tell(fault)
        _show_until_saved(host, port, fault)


def _address(words: list[str]) -> tuple[str, int]:
    for word, behind in zip(words, [*words[1:], ""], strict=True):
        said = behind if word in ("-a", "--dev-addr") else word.removeprefix("--dev-addr=").removeprefix("-a")
        host, _, port = said.rpartition(":")
        if word.startswith(("-a", "--dev-addr")) and port.isdigit():
            return host.strip("[]"), int(port)
    return USUAL


def _address_of_settings() -> tuple[str, int]:
    try:
        host, port = load_config().dev_addr
        return host, port
    except (Exception, SystemExit):
        return USUAL


def _show_until_saved(host: str, port: int, fault: str) -> None:
    """Show the page that tells what is wrong until something in the project is saved."""

    class Fault(BaseHTTPRequestHandler):
        def do_GET(self):
            page = fault_page(fault)
            self.send_response(503)
            self.send_header("Content-Type", "text/html; charset=utf-8")
            self.send_header("Content-Length", str(len(page)))
            self.end_headers()
            self.wfile.write(page)

        def log_message(self, format, *args):
            pass

    before = _state(Path.cwd())
    server = ThreadingHTTPServer((host, port), Fault)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    print(f"Telling so on http://{host}:{port}/ until it is mended.", file=sys.stderr, flush=True)
    try:
        while _state(Path.cwd()) == before:
            time.sleep(PULSE)
    finally:
        server.shutdown()
        server.server_close()


def _state(root: Path) -> dict[str, tuple[int, int]]:
    """The files of a project, with when they were saved."""
    state = {}
    for folder, folders, names in os.walk(root):
        folders[:] = [name for name in folders if name not in NOT_WATCHED]
        for name in names:
            path = os.path.join(folder, name)
            try:
                told = os.stat(path)
            except OSError:
                continue
            state[path] = (told.st_mtime_ns, told.st_size)
    return state


if __name__ == "__main__":
    try:
        serve(sys.argv[1:])
    except KeyboardInterrupt:
        sys.exit(0)
