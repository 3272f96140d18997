"""The benchmarks run and print their table; how fast this machine is does not matter here."""

import re
import subprocess
import sys
from pathlib import Path

BENCHMARK = Path(__file__).parents[2] / "benchmarks" / "bench_chain.py"


def test_the_chain_s_benchmark_prints_its_table():
    done = subprocess.run([sys.executable, BENCHMARK, "1"], capture_output=True, text=True, check=False)
    head, *rows = done.stdout.splitlines()
    assert done.returncode in (0, 1), done.stderr
    assert head.split() == ["benchmark", "figure", "limit", "unit", "ratio"]
    assert len(rows) == 4
    over = [row for row in rows if float(row.split()[-1]) > 1.0]
    assert all(re.search(r" (ms|MB) +(\d+\.\d\d|nan)$", row) for row in rows)
    assert done.returncode == bool(over)
