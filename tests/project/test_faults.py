"""A few of the runs of tests/benchmarks/faults.py: killed, on a full disk, without the right to write, two at once."""

import subprocess
import sys

import pytest
from conftest import ROOT

pytestmark = [pytest.mark.slow, pytest.mark.skipif(sys.platform == "win32", reason="processes are forked")]


def test_nothing_is_lost_or_half_written():
    done = subprocess.run(
        [sys.executable, ROOT / "tests/benchmarks/faults.py", "8", "7"], capture_output=True, text=True, check=False
    )
    told = [line for line in done.stdout.splitlines() if " runs, " in line]
    assert done.returncode == 0 and len(told) == 5, done.stdout + done.stderr
    assert all(", lost 0, " in line for line in told), done.stdout
    assert "'killed'" in told[0] + told[1] and "'refused'" in told[2] and "'refused'" in told[3]
