"""The calendar of what is due, read by the rules of RFC 5545 alone."""

import re

from click.testing import CliRunner
from gudgeon.assess.build import assess
from gudgeon.cli import main
from gudgeon.export.icalendar import calendar
from small_build import FILES, load, shelf, write

NAME = (
    "Mikrometer für 25–75 mm; von „Åse“, geliehen \\\\ bis Ostern, dann zurück: so steht es auf dem Zettel in der Lade"
)
GAUGE = FILES["instruments.yaml"].replace("name: outside mic 25-75 mm", f'name: "{NAME}"')


def read(content: bytes):
    """The content lines of a file, unfolded (3.1): name with parameters -> value."""
    text = content.decode("utf-8")
    assert text.endswith("\r\n") and not re.search(r"(?<!\r)\n|\r(?!\n)", text)
    physical = content.removesuffix(b"\r\n").split(b"\r\n")
    assert all(0 < len(line) <= 75 for line in physical)
    for line in physical:
        line.decode("utf-8")  # no letter is split
    lines = re.sub(r"\r\n[ \t]", "", text).removesuffix("\r\n").split("\r\n")
    return [tuple(line.split(":", 1)) for line in lines]


def unescaped(text: str) -> str:
    assert re.fullmatch(r"(?:[^\\;,\n]|\\[\\;,nN])*", text), text  # TEXT (3.3.11)
    return re.sub(r"\\(.)", lambda match: "\n" if match[1] in "nN" else match[1], text)


def test_it_is_a_calendar_by_the_rfc(tmp_path):
    build = load(tmp_path, instruments=GAUGE)
    assert build.problems == []
    findings = assess(build, shelf())
    content = calendar([(findings, findings.due)])
    lines = read(content)
    assert lines[0] == ("BEGIN", "VCALENDAR") and lines[-1] == ("END", "VCALENDAR")
    assert lines[1] == ("VERSION", "2.0") and lines[2][0] == "PRODID"
    event = dict(lines[lines.index(("BEGIN", "VEVENT")) + 1 : lines.index(("END", "VEVENT"))])
    assert event["DTSTART;VALUE=DATE"] == "20260101" and event["DTEND;VALUE=DATE"] == "20260102"
    assert event["DTSTAMP"] == "20250204T000000Z"  # of the records, not of the clock
    name = NAME.replace("\\\\", "\\")
    assert unescaped(event["SUMMARY"]) == f"Small engine: Check the {name} (mic), last checked on 2025-01-01"
    assert "builds/small/instruments.yaml:2" in unescaped(event["DESCRIPTION"])
    assert calendar([(findings, findings.due)]) == content


def test_two_builds_and_two_things_never_share_a_name(tmp_path):
    made = []
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        both = FILES["instruments.yaml"].replace("due: each session}", "due: 2026-01-01}")
        build = load(tmp_path / name, instruments=both)
        build.id = name
        findings = assess(build, shelf())
        made.append((findings, findings.due))
    names = [value for key, value in read(calendar(made)) if key == "UID"]
    assert len(names) == len(set(names)) == 4


def test_the_command_counts_to_the_day_that_is_said(tmp_path):
    (tmp_path / "mkdocs.yml").write_text("site_name: x\nplugins: [gudgeon]\n")
    write(tmp_path / "builds" / "small")

    def due(*words):
        done = CliRunner().invoke(main, ["due", "--root", str(tmp_path), *words])
        return done.exit_code, done.output

    assert due("--on", "2025-12-31") == (
        0,
        "Small engine, as of 2025-12-31:\n  ● coming: Check the outside mic 25-75 mm (mic), last checked on 2025-01-01: 2026-01-01\n",
    )
    assert due("small", "--on", "2026-01-02")[0] == 1
    assert due("nobody")[0] == 3
    done = CliRunner().invoke(main, ["due", "--root", str(tmp_path), "--form", "ics", "--on", "2026-01-02"])
    assert done.exit_code == 1 and ("DTSTART;VALUE=DATE", "20260101") in read(done.stdout_bytes)
    (tmp_path / "builds" / "small" / "fits.yaml").write_text("fits: {")
    status, said = due("--on", "2025-12-31")
    assert status == 1 and "not worked out" in said
