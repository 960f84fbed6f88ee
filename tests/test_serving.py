"""A served site stands whatever is saved: what fails is told in the terminal and on the page, and the next save mends it."""

import os
import re
import socket
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request

import pytest
from conftest import own, small_project
from gudgeon import serving
from gudgeon.serving import fault_of, fault_page, is_free, next_free, taken
from small_build import write

BROKEN_HOOK = "def on_page_markdown(markdown, **more):\n    raise ValueError('<b>a hook & a fault</b>')\n"


class Served:
    """A real server on a project, with what it says in its terminal."""

    def __init__(self, project, program, port):
        self.project, self.address, self.lines = project, f"http://127.0.0.1:{port}/", []
        env = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
        self.process = subprocess.Popen(
            [sys.executable, "-m", *program, "-a", f"127.0.0.1:{port}"],
            cwd=project,
            env=env,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        threading.Thread(target=lambda: self.lines.extend(self.process.stdout), daemon=True).start()

    def get(self, page=""):
        try:
            with urllib.request.urlopen(self.address + page, timeout=30) as answer:  # noqa: S310 - our own server
                return answer.status, answer.read().decode()
        except urllib.error.HTTPError as error:
            return error.code, error.read().decode()
        except OSError:
            return 0, ""

    def until(self, wanted, page="", status=200):
        """The page once it says something."""
        ends, told = time.monotonic() + 60, (0, "")
        while time.monotonic() < ends and self.process.poll() is None:
            told = self.get(page)
            if told[0] == status and wanted in told[1]:
                return told[1]
            time.sleep(0.2)
        raise AssertionError(
            f"{page} did not say {wanted!r} but {told[0]} {told[1][:300]}\n{''.join(self.lines)[-3000:]}"
        )

    def end(self):
        self.process.terminate()
        self.process.wait(20)


def free_port():
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        return trial.getsockname()[1]


@pytest.fixture
def project(tmp_path):
    """A small project with one build, in a folder whose name is not plain."""
    root = small_project(tmp_path / "a site [1] é")
    write(root / "builds/small")
    return root


@pytest.fixture
def serve(project):
    served = []

    def start(*program):
        served.append(Served(project, program, free_port()))
        return served[-1]

    yield start
    for each in served:
        each.end()


@pytest.mark.slow
def test_a_served_site_survives_every_fault(serve, project):
    head, settings = project / "builds/small/build.yaml", project / "mkdocs.yml"
    whole, set_so = head.read_text(encoding="utf-8"), settings.read_text(encoding="utf-8")
    served = serve("mkdocs", "serve")
    served.until("Small engine", "builds/small/")

    head.write_text(whole[: len(whole) // 2] + '\n  x: "', encoding="utf-8")  # half saved
    assert "build.yaml:" in served.until("build.yaml:", "builds/small/")
    head.write_text(whole.replace("Small engine", "Small engine again"), encoding="utf-8")
    served.until("Small engine again", "builds/small/")
    head.write_text(whole, encoding="utf-8")

    settings.write_text(set_so + "nav: [\n", encoding="utf-8")  # a mistake in the settings
    page = served.until("could not be built", "builds/small/", 503)
    assert "mkdocs.yml" in page and re.search(r"line \d+", page)
    settings.write_text(set_so, encoding="utf-8")
    served.until("Small engine", "builds/small/")

    (project / "hook.py").write_text(BROKEN_HOOK)  # code beside ours that falls
    settings.write_text(set_so + "hooks: [hook.py]\n", encoding="utf-8")
    page = served.until("&lt;b&gt;a hook &amp; a fault&lt;/b&gt;", "", 503)
    assert "<b>a hook" not in page and "a hook & a fault" in "".join(served.lines)
    settings.write_text(set_so, encoding="utf-8")
    served.until("Small engine", "builds/small/")

    (project / "docs").rename(project / "gone")  # a folder is deleted and comes back
    served.until("docs_dir", "", 503)
    (project / "gone").rename(project / "docs")
    served.until("Small engine", "builds/small/")
    (project / "builds").rename(project / "gone")
    served.until("", "builds/small/", 404)
    assert "no build was found" in "".join(served.lines)
    (project / "gone").rename(project / "builds")
    served.until("Small engine", "builds/small/")
    head.write_text(whole.replace("Small engine", "Still watched"), encoding="utf-8")
    served.until("Still watched", "builds/small/")
    assert "stuck" not in "".join(served.lines)


@pytest.mark.slow
def test_a_served_site_reloads_on_an_edit_of_a_build_and_of_the_shelf(serve, project):
    rule = own(project, "rules/P-R1.yaml")
    served = serve("mkdocs", "serve")
    served.until("Small engine", "builds/small/")
    for path, key, words, page in (
        (project / "builds/small/parts/piston.yaml", "name", "Plunger", "builds/small/parts/piston/"),
        (rule, "says", "so much for each inch", "rules/"),
    ):
        assert words not in served.get(page)[1]
        text = path.read_text(encoding="utf-8")
        path.write_text(re.sub(rf"^{key}: .*", f"{key}: {words}", text, count=1, flags=re.MULTILINE), encoding="utf-8")
        served.until(words, page)


@pytest.mark.slow
def test_a_site_that_cannot_be_built_at_first_is_served_once_it_can(serve, project):
    settings = project / "mkdocs.yml"
    set_so = settings.read_text(encoding="utf-8")
    settings.write_text("site_name: [\n", encoding="utf-8")
    served = serve("gudgeon.serving")
    assert "mkdocs.yml" in served.until("could not be built", "", 503)
    settings.write_text(set_so, encoding="utf-8")
    served.until("Small engine", "builds/small/")


@pytest.mark.slow
def test_a_busy_port_is_told_with_the_next_free_one(project):
    with socket.socket() as busy:
        busy.bind(("127.0.0.1", 0))
        busy.listen()
        port = busy.getsockname()[1]
        for program in (["mkdocs", "serve"], ["gudgeon.serving"]):
            done = subprocess.run(
                [sys.executable, "-m", *program, "-a", f"127.0.0.1:{port}"],
                cwd=project,
                capture_output=True,
                text=True,
                check=False,
                timeout=120,
            )
            assert done.returncode and "Traceback" not in done.stderr, done.stderr
            told = re.search(rf"Port {port} of 127\.0\.0\.1 is taken.*The next free one is (\d+): -a", done.stderr)
            assert told and is_free("127.0.0.1", int(told[1])), done.stderr


def test_ports():
    with socket.socket() as busy:
        busy.bind(("127.0.0.1", 0))
        busy.listen()
        port = busy.getsockname()[1]
        assert not is_free("127.0.0.1", port) and next_free("127.0.0.1", port) != port
        assert str(next_free("127.0.0.1", port)) in (taken("127.0.0.1", port) or "")
    assert taken("127.0.0.1", free_port()) is None


def test_a_fault_is_told_without_markup_and_names_the_code():
    try:
        raise KeyError("<script>\x1b[31m")
    except KeyError as error:
        page = fault_page(fault_of(error)).decode()
    assert "KeyError" in page and "<script>" not in page and "\x1b" not in page and "in " in page


def test_a_busy_port_of_the_settings_is_passed_over(monkeypatch, capsys):
    """Nobody asked for that port with -a: the next free one does."""
    asked = []
    monkeypatch.setattr(serving.cli, "main", lambda words, **_: asked.append(words))
    with socket.socket() as busy:
        busy.bind(("127.0.0.1", 0))
        busy.listen()
        port = busy.getsockname()[1]
        monkeypatch.setattr(serving, "_address_of_settings", lambda: ("127.0.0.1", port))
        serving.serve(["--strict"])
    ((_, flag, address, strict),) = asked
    assert (flag, strict) == ("-a", "--strict") and address != f"127.0.0.1:{port}"
    assert f"Port {port} is taken" in capsys.readouterr().err


def test_a_sum_or_a_template_that_raises_is_told_until_a_save_mends_it():
    class Server:
        def set_app(self, app):
            self.app = app

        def serve_request(self, environ, start_response):
            return [b"the site"]

    def build():
        raise broken[0]

    server, told = Server(), []
    for fault in (
        ZeroDivisionError("a sum"),
        RecursionError("a template"),
        MemoryError(),
        SystemExit(1),
        UnicodeDecodeError("utf-8", b"", 0, 1, "x"),
    ):
        broken = [fault]
        standing = serving.Standing(server, build)
        server.builder()
        page = b"".join(server.app({"PATH_INFO": "/"}, lambda status, heads: told.append(status)))
        assert told.pop().startswith("503") and b"could not be built" in page
        standing._builder = lambda: None
        server.builder()
        assert server.app({"PATH_INFO": "/"}, None) == [b"the site"]
