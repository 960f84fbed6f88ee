"""Quick entry at a real terminal: a doubt is asked with No for an answer, undo puts the file back, q ends."""

import os
import pty
import select
import sys
import time

import pytest
from small_build import write

pytestmark = pytest.mark.slow


class Terminal:
    """`gudgeon enter` in a pseudo-terminal."""

    def __init__(self, root):
        self.said = ""
        self.process, self.screen = pty.fork()
        if self.process == 0:  # the child becomes the command
            words = ["gudgeon.cli", "enter", "small", "--by", "ada", "--on", "2025-02-20", "--root", str(root)]
            os.execv(sys.executable, [sys.executable, "-m", *words])

    def until(self, text: str) -> str:
        """What the screen shows up to a text that comes within a minute."""
        end = time.monotonic() + 60
        while text not in self.said:
            assert time.monotonic() < end, f"{text!r} never came. The screen: {self.said}"
            if select.select([self.screen], [], [], 0.5)[0]:
                try:
                    self.said += os.read(self.screen, 4096).decode("utf-8", "replace")
                except OSError:  # the command has ended
                    assert text in self.said, self.said
        before, _, self.said = self.said.partition(text)
        return before

    def type(self, line: str) -> None:
        """Type a line."""
        os.write(self.screen, f"{line}\n".encode())

    def status(self) -> int:
        """The exit status, once it has ended."""
        return os.waitstatus_to_exitcode(os.waitpid(self.process, 0)[1])


def test_an_evening_with_a_slip_an_undo_and_an_end(tmp_path):
    write(tmp_path / "builds/small")
    readings = tmp_path / "builds/small/readings"
    before = {path: path.read_bytes() for path in readings.iterdir()}
    terminal = Terminal(tmp_path)
    terminal.until("undo takes the last one back, q ends.")
    terminal.until("> ")

    terminal.type("piston skirt 20 - 49.495 mic 20c/20c")
    assert "less; nothing is written to have come off since" in terminal.until("Write it all the same? [y/N]")
    terminal.type("")
    terminal.until("Not written.")
    assert {path: path.read_bytes() for path in readings.iterdir()} == before

    terminal.type("piston skirt 20 - 49.944 mic 20c/20c")
    terminal.until("Write it? [Y/n]")
    terminal.type("")
    terminal.until("Written to")
    terminal.type("30 - 49.943")
    terminal.until("Write it? [Y/n]")
    terminal.type("")
    terminal.until("Written to")
    (file,) = [path for path in readings.iterdir() if path not in before]
    assert file.read_text().count("- {id: ad0") == 2

    terminal.type("undo")
    terminal.until("Taken back: row ad02-")
    assert "49.943 mm" in terminal.until("\r\n")
    assert file.read_text().count("- {id: ad0") == 1

    with file.open("a") as handle:  # never empty in between: the command may be reading it
        handle.write("# somebody else was here\n")
    terminal.type("undo")
    terminal.until("was changed since, and is left as it is")
    assert "# somebody else was here" in file.read_text() and file.read_text().count("- {id: ad0") == 1
    terminal.until("> ")
    terminal.type("q")
    assert terminal.status() == 1, "something was refused"
