"""The pages of instruments, machines and metals tell where each is used."""

from gudgeon.assess.build import assess
from gudgeon.records.model import Club
from small_build import FILES, load, rendered, shelf

LATHE = "machines:\n  lathe: {name: Lathe, speeds: [100 rpm], feeds: [0.1 mm], dial_reads: radius, dial_division: 0.02 mm}\n"
CUT = "  - {date: 2025-02-01, of: cyl.bore, machine: lathe, asked: 0.1 mm, got: 0.1 mm, tool: hss, feed: 0.1 mm}\n"


def test_where_each_is_used(tmp_path):
    turned = FILES["operations.yaml"].replace("done: 2025-02-03", "machine: lathe, done: 2025-02-03")
    build = load(tmp_path, machines=LATHE, cuts="cuts:\n" + CUT + CUT, operations=turned)
    assert build.problems == []
    pages = {
        page.uri.removeprefix("builds/small/"): page.text
        for page in rendered(Club([build], shelf()), {"small": assess(build, shelf())})[0]
    }
    assert pages["gauges.md"].count("its scale is also that of") == 1
    assert "its scale is also that of bore gauge set in mic" in pages["gauges.md"]
    assert "Used in operation TURN; 2 cuts." in pages["gauges.md"]
    assert "used by cylinder; piston" in pages["metals.md"]
