"""The program as people use it: help with examples, exit statuses, completion, colour only where a terminal has it."""

import html
import os
import pty
import re
import select
import shutil
import subprocess
import sys
from pathlib import Path

import click
import gudgeon
import pytest
import yaml
from click.testing import CliRunner
from club_repo import ENV, ClubRepo
from conftest import ROOT
from gudgeon.cli import COMMANDS, main
from gudgeon.commands.manual import manual
from gudgeon.commands.terminal import STATUSES
from gudgeon.records.load_build import load_build
from small_build import shelf, write

PROGRAM = [sys.executable, "-m", "gudgeon.cli"]


def leaves(group=main, path=()):
    for name in group.list_commands(click.Context(group)):
        command = group.get_command(click.Context(group), name)
        if isinstance(command, click.Group):
            yield from leaves(command, (*path, name))
        else:
            yield (*path, name), command


LEAVES = list(leaves())


@pytest.mark.parametrize(("path", "command"), LEAVES, ids=[" ".join(path) for path, _ in LEAVES])
def test_every_command_has_help_with_an_example_and_its_exit_status(path, command):
    done = CliRunner().invoke(main, [*path, "--help"])
    assert done.exit_code == 0
    assert "Example" in done.stdout and f"gudgeon {' '.join(path)}" in done.stdout
    assert "Exit status" in done.stdout or path == ("schemas",)
    for parameter in command.params:
        if isinstance(parameter, click.Option):
            assert parameter.help, f"{path} {parameter.name} is not explained"


@pytest.mark.parametrize(("path", "command"), LEAVES, ids=[" ".join(path) for path, _ in LEAVES])
def test_every_command_and_option_is_in_the_manual(path, command):
    text = html.unescape(manual().text)
    assert f'id="{"-".join(path)}"' in text
    for parameter in command.params:
        if isinstance(parameter, click.Option):
            assert all(each in text for each in parameter.opts)
    assert all(means in text for means in STATUSES.values())


def test_the_commands_of_the_program_are_those_of_its_modules():
    assert set(COMMANDS) == {path[0] for path, _ in LEAVES}


@pytest.mark.parametrize(
    ("words", "status"),
    [([], 2), (["reveiw"], 2), (["review", "--form", "html"], 2), (["--version"], 0), (["--help"], 0)],
)
def test_words_that_are_off(words, status):
    done = CliRunner().invoke(main, words)
    assert done.exit_code == status and "Traceback" not in done.output


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_is_offered_for_a_shell(shell):
    done = CliRunner().invoke(main, ["completion", shell])
    assert done.exit_code == 0 and "_GUDGEON_COMPLETE" in done.stdout


@pytest.mark.slow
def test_a_shell_completes_commands_options_and_builds(tmp_path):
    write(tmp_path / "builds" / "small")

    def complete(words: str) -> list[str]:
        env = {
            **ENV,
            "_GUDGEON_COMPLETE": "bash_complete",
            "COMP_WORDS": words,
            "COMP_CWORD": str(len(words.split(" ")) - 1),
        }
        code = "from gudgeon.cli import main; main(prog_name='gudgeon')"
        done = subprocess.run(
            [sys.executable, "-c", code], env=env, cwd=tmp_path, capture_output=True, text=True, check=False
        )
        return [line.partition(",")[2] for line in done.stdout.split()]

    assert complete("gudgeon rev") == ["review"]
    assert "--details" in complete("gudgeon review --d")
    assert complete("gudgeon enter sm") == ["small"]


def on_a_terminal(words, cwd, **env) -> str:
    """What a program writes on a real terminal."""
    parent, child = pty.openpty()
    with subprocess.Popen(
        [*PROGRAM, *words], cwd=cwd, stdin=child, stdout=child, stderr=child, env={**ENV, "TERM": "xterm", **env}
    ) as process:
        os.close(child)
        out = b""
        while True:
            ready, _, _ = select.select([parent], [], [], 60)
            try:
                data = os.read(parent, 65536) if ready else b""
            except OSError:  # the other end is closed
                data = b""
            if not data:
                break
            out += data
        process.wait()
    os.close(parent)
    return out.decode()


@pytest.mark.slow
def test_colour_and_progress_on_a_terminal_and_plain_text_elsewhere(tmp_path):
    repo = ClubRepo(tmp_path / "club")
    repo.change("docs/knowledge/rules/R1.yaml", "[0.001, 0.0016]", "[0.0014, 0.0016]")
    shown = on_a_terminal(["review"], repo.root)
    assert "\x1b[" in shown and "Working out builds: 2 of 2" in shown
    shown = on_a_terminal(["review"], repo.root, NO_COLOR="1")
    assert "\x1b[3" not in shown and "2 fits moved" in shown
    done = subprocess.run([*PROGRAM, "review"], cwd=repo.root, env=ENV, capture_output=True, text=True, check=False)
    assert "\x1b" not in done.stdout + done.stderr and "Working out" not in done.stderr
    assert done.stdout.encode("ascii", "ignore").decode().startswith("the work tree against")


@pytest.mark.slow
def test_a_question_is_asked_on_a_terminal_and_never_without_one(tmp_path):
    write(tmp_path / "builds" / "small")
    done = subprocess.run(
        [*PROGRAM, "new", "build", "x"], cwd=tmp_path, env=ENV, input="", capture_output=True, text=True, check=False
    )
    assert done.returncode == 2 and "say --name" in done.stderr and not (tmp_path / "builds/x").exists()


def test_a_club_without_a_shelf_begins_a_part_with_the_starter_that_comes_with_the_tool(tmp_path):
    write(tmp_path / "builds" / "small")
    words = ["new", "part", "small", "rod", "--family", "rod", "--material", "ci", "--root", str(tmp_path)]
    done = CliRunner().invoke(main, [*words, "--name", "Rod"])
    assert done.exit_code == 0, done.output
    assert "family: rod" in (tmp_path / "builds/small/parts/rod.yaml").read_text()


def test_new_build_part_readings_and_instalment(tmp_path):
    shutil.copytree(ROOT / "docs/knowledge", tmp_path / "docs/knowledge")
    run, root = CliRunner(), ["--root", str(tmp_path)]
    done = run.invoke(
        main, ["new", "build", "my-engine", *root], input="My engine: first\nmm\nvertical\nAnn O'Neill\nNo. 1\n"
    )
    assert done.exit_code == 0, done.output
    folder = tmp_path / "builds/my-engine"
    for part in ("piston", "piston2"):
        done = run.invoke(
            main, ["new", "part", "my-engine", part, "--family", "piston", "--material", "grey-iron", *root]
        )
        assert done.exit_code == 0, done.output
    build = load_build(folder, "builds/my-engine", shelf())
    assert build.problems == [] and {"PIS-10", "PIS2-10"} <= set(build.operations)
    assert {op.part for op in build.operations.values()} == {"piston", "piston2"}
    assert all(
        ref.startswith("piston2.")
        for op_id, op in build.operations.items()
        if op_id.startswith("PIS2")
        for ref in op.changes
    )
    (folder / "instruments.yaml").write_text(
        "instruments:\n  mic: {name: mic, range: [25 mm, 50 mm], resolution: 0.001 mm, scale: 0.002 mm, use: 0.002 mm, cte: 11.5e-6 /K, checked: 2025-01-01, due: 2026-01-01}\n"
    )
    done = run.invoke(
        main,
        ["new", "readings", "my-engine", "piston", "--gauge", "mic", "--temps", "15c/15c", "--on", "2025-05-01", *root],
        input="30.001 30.002\ny\nnonsense\n30.003\ny\n",
    )
    assert done.exit_code == 0 and "2 rows written" in done.stdout and "Not written: expected a reading" in done.stderr
    done = run.invoke(
        main,
        [
            "new",
            "instalment",
            "my-engine",
            "--title",
            'A "start": one',
            "--by",
            "ann-o-neill",
            "--on",
            "2025-05-02",
            *root,
        ],
    )
    assert done.exit_code == 0, done.output
    build = load_build(folder, "builds/my-engine", shelf())
    assert build.problems == [] and [each.head.title for each in build.instalments] == ['A "start": one']
    assert [(row.of, [read.text for read in row.reads]) for row in build.rows] == [
        ("piston.skirt", ["30.001 mm", "30.002 mm"]),
        ("piston.skirt", ["30.003 mm"]),
    ]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ["new", "build", "small", "--name", "x", "--units", "in", "--layout", "x", "--person", "x", "--club", "x"],
            "already exists",
        ),
        (
            [
                "new",
                "build",
                "Small One",
                "--name",
                "x",
                "--units",
                "in",
                "--layout",
                "x",
                "--person",
                "x",
                "--club",
                "x",
            ],
            "small letters",
        ),
        (
            [
                "new",
                "build",
                "other",
                "--name",
                "x\x1b",
                "--units",
                "in",
                "--layout",
                "x",
                "--person",
                "x",
                "--club",
                "x",
            ],
            "one line of up to 300",
        ),
        (["new", "part", "small", "ring", "--family", "rign", "--material", "ci"], 'Did you mean "ring"?'),
        (["new", "part", "small", "piston", "--family", "piston", "--material", "ci"], "has a part piston already"),
        (
            ["new", "part", "small", "ring", "--family", "ring", "--material", "unobtainium"],
            'no material "unobtainium"',
        ),
        (["new", "readings", "small", "pistn", "--gauge", "mic", "--temps", "1c/1c"], 'Did you mean "piston"?'),
        (["new", "instalment", "small", "--title", "x", "--by", "nobody"], 'no person "nobody"'),
    ],
)
def test_what_does_not_do_is_refused_and_nothing_is_written(tmp_path, words, said):
    shutil.copytree(ROOT / "docs/knowledge", tmp_path / "docs/knowledge")
    write(tmp_path / "builds" / "small")
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    done = CliRunner().invoke(main, [*words, "--root", str(tmp_path)])
    assert done.exit_code == 1 and said in done.stderr, done.output
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


@pytest.mark.slow
def test_every_family_s_starter_can_be_added(tmp_path):
    shutil.copytree(ROOT / "docs/knowledge", tmp_path / "docs/knowledge")
    write(tmp_path / "builds" / "small")
    for family in sorted(each.name for each in (ROOT / "plugins/gudgeon/knowledge/families").iterdir()):
        done = CliRunner().invoke(
            main,
            ["new", "part", "small", f"my-{family}", "--family", family, "--material", "ci", "--root", str(tmp_path)],
        )
        assert done.exit_code == 0, done.output
    assert load_build(tmp_path / "builds/small", "builds/small", shelf()).problems == []


def test_the_page_on_review_shows_records_that_work(tmp_path):
    """Its examples, put into the demonstration build, read without a problem."""
    blocks = re.findall(r"```yaml\n(.*?)```", (ROOT / "docs/review-and-share.md").read_text(), re.DOTALL)
    folder = tmp_path / "harrow-pond"
    shutil.copytree(ROOT / "builds/harrow-pond", folder)
    row = yaml.safe_load(blocks[0])["rows"][0]
    assert row["supersedes"] == "a026"
    (folder / "readings/2025-04-06-again.yaml").write_text(
        "every_row: {date: 2025-04-06, by: odette, gauge: om45}\n" + blocks[0] + blocks[1]
    )
    (folder / "reviews.yaml").write_text(blocks[2] + blocks[3])
    assert load_build(folder, "builds/harrow-pond", shelf()).problems == []


def test_start_runs_a_command_in_the_environment_it_made():
    assert 'job == "gudgeon"' in Path(ROOT / "start.py").read_text()
    done = subprocess.run([sys.executable, ROOT / "start.py"], capture_output=True, text=True, check=False)
    assert "start.py gudgeon" in done.stderr


@pytest.mark.slow
def test_check_tells_what_is_over_a_safety_limit_beside_no_problems():
    done = CliRunner().invoke(main, ["check", str(ROOT)])
    assert done.exit_code == 0
    assert "builds/harrow-pond: OVER A SAFETY LIMIT: mass of the rim 99.98 lb, limit 55 lb" in done.output
    assert (
        "builds/harrow-pond: MAY BE OVER A SAFETY LIMIT (chance 20 %): bending stress with the ring closed"
        in done.output
    )
    project = gudgeon.open(ROOT)
    unknown = [
        d for name in project.build_names() for d in project.findings(name).dangers if d.state == "not worked out"
    ]
    # The story of Harrow Pond tells of a reading that was a slip, 24.02 in, which is held back.
    held_back = "1 number of the story is not what counted in the records on its day"
    assert unknown and done.stderr.endswith(f"or may be; {len(unknown)} safety limits not worked out; {held_back}.\n")
