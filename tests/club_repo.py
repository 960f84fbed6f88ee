"""A real git repository in a temporary folder, with a small club in it, for tests to bend. Invented; millimetres."""

import os
import subprocess
from pathlib import Path

import gudgeon
from gudgeon.project.two_revisions import compare_revisions
from gudgeon.review.compare import slip_of
from gudgeon.review.slip import ReviewSlip
from small_build import write

RULE = """\
rule: R1
says: 'one in a thousand'
kind: skirt
applies_to: 'iron piston in iron bore'
gives: {per_length: [0.001, 0.0016]}
valid: 'any'
said_by: 'a member'
basis: common practice
grade: member rule
"""
# Nothing of the person who runs the tests: no settings, no signing, no hooks.
ENV = {
    **{key: value for key, value in os.environ.items() if not key.startswith("GIT_")},
    "GIT_OPTIONAL_LOCKS": "0",
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_CONFIG_SYSTEM": os.devnull,
    "GIT_AUTHOR_NAME": "Ada",
    "GIT_AUTHOR_EMAIL": "ada@example.org",
    "GIT_COMMITTER_NAME": "Ada",
    "GIT_COMMITTER_EMAIL": "ada@example.org",
    "GIT_AUTHOR_DATE": "2025-03-01T12:00:00Z",
    "GIT_COMMITTER_DATE": "2025-03-01T12:00:00Z",
}


class ClubRepo:
    """A repository whose branch `main` holds builds/small and builds/twin, and a rule that both cite."""

    def __init__(self, root: Path):
        self.root = root
        root.mkdir(parents=True, exist_ok=True)
        for name in ("small", "twin"):
            write(root / "builds" / name)
        self.file("docs/knowledge/rules/R1.yaml", RULE)
        for name in ("small", "twin"):
            self.change(f"builds/{name}/fits.yaml", "because: test", "rule: R1")
            self.change(f"builds/{name}/fits.yaml", "want: [0.050 mm, 0.080 mm], ", "")
        self.git("init", "-q", "-b", "main")
        self.commit("the club")

    def git(self, *words: str, check: bool = True) -> str:
        """Run git in the repository."""
        done = subprocess.run(["git", *words], cwd=self.root, env=ENV, check=False, capture_output=True, text=True)
        assert not check or done.returncode == 0, f"git {' '.join(words)}: {done.stderr}{done.stdout}"
        return done.stdout.strip()

    def commit(self, subject: str) -> str:
        """Commit everything; gives the commit."""
        self.git("add", "-A")
        self.git("commit", "-q", "--allow-empty", "-m", subject)
        return self.git("rev-parse", "HEAD")

    def file(self, name: str, text: str) -> Path:
        """Write a file."""
        path = self.root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        return path

    def change(self, name: str, old: str, new: str) -> None:
        """Change one thing in a file."""
        text = (self.root / name).read_text(encoding="utf-8")
        assert old in text, f"{old!r} is not in {name}"
        self.file(name, text.replace(old, new, 1))

    def read(self, row: str, size: str, name: str = "2025-02-20-skirt", build: str = "small", more: str = "") -> None:
        """Add a file with a reading of the skirt."""
        self.file(
            f"builds/{build}/readings/{name}.yaml",
            "every_row: {date: 2025-02-20, by: ada, of: piston.skirt, gauge: mic, part_temp: 20 °C, gauge_temp: 20 °C}\n"
            f"rows:\n  - {{id: {row}, station: 20 mm, reads: {size} mm{more}}}\n",
        )


def review(root, **revisions) -> ReviewSlip:
    """The slip of a project, as `gudgeon review` works it out."""
    with compare_revisions(gudgeon.open(root), **revisions) as comparison:
        return slip_of(comparison)
