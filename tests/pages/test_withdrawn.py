"""What was withdrawn stays on the pages, with its reason."""

from gudgeon.assess.build import assess
from gudgeon.records.model import Club
from small_build import FILES, load, rendered, shelf

SKIRT = "readings/2025-02-04-skirt.yaml"


def test_withdrawn_readings_and_verdicts_are_shown_with_their_reason(tmp_path):
    build = load(
        tmp_path,
        readings__2025_02_04_skirt=FILES[SKIRT]
        + "  - {id: s2, station: 20 mm, reads: 49.951 mm}\n  - {id: s3, withdraws: s2, because: read of <another> piston}\n",
        reviews="reviews:\n"
        "  - {date: 2025-02-05, who: ada, verdict: agreed, says: good enough, about: [F1]}\n"
        "  - {date: 2025-02-06, who: ada, verdict: agreed, says: still good, about: [F1]}\n"
        "  - {date: 2025-02-07, who: ada, withdraws: 2025-02-05 ada, because: it knocked}\n",
    )
    assert build.problems == []
    pages = {
        page.uri.removeprefix("builds/small/"): page.text
        for page in rendered(Club([build], shelf()), {"small": assess(build, shelf())})[0]
    }
    log = pages["readings.md"]
    assert 'class="g-row-withdrawn"' in log
    assert "<strong>withdrawn</strong>: read of &lt;another&gt; piston (s3, 2025-02-04)" in log
    fit = pages["fits/f1.md"]
    assert fit.count("<strong>Withdrawn</strong>") == 1
    assert "good enough <strong>Withdrawn</strong> on 2025-02-07: it knocked" in fit.replace(
        "good enough.", "good enough"
    )
    assert "Ada withdraws what was said on 2025-02-05: it knocked" in pages["fits/f1/history.md"]
