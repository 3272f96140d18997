"""All benchmarks in one table: python -m benchmarks [--keep]. Exit status 1 when a figure misses what is asked of it.

With --keep the figures are added to results.csv, and the points of growth.csv written anew; without it, nothing is.
"""

import subprocess
import sys
from collections.abc import Iterator

from benchmarks import table


def rows(failed: list[str]) -> Iterator[table.Row]:
    """Rows of each benchmark, run by a process of its own, so that none has the memory or the warmth of another."""
    for path in sorted(table.FOLDER.glob("bench_*.py")):
        command = [sys.executable, "-m", f"benchmarks.{path.stem}", table.LINES]
        command += [table.KEEP] * (table.KEEP in sys.argv)
        with subprocess.Popen(
            command, cwd=table.FOLDER.parent, stdout=subprocess.PIPE, text=True, encoding="utf-8"
        ) as running:
            yield from table.parsed(running.stdout or ())
        if running.returncode:
            failed.append(path.stem)


def main() -> int:
    if sys.argv[1:] not in ([], [table.KEEP]):
        print("usage: python -m benchmarks [--keep]", file=sys.stderr)
        return 2
    head = table.stamp()
    print(f"clutchwright {head['version']}, {head['commit']}; {head['machine']}; load before: {head['load']}")
    failed: list[str] = []
    found: list[table.Row] = []

    def noted() -> Iterator[table.Row]:
        for row in rows(failed):
            found.append(row)
            yield row

    status = table.shown(noted(), table.last_kept(head["machine"]))
    if table.KEEP in sys.argv:
        table.keep(found, head)
    for name in failed:
        print(f"{name} ended with an error, which stands above", file=sys.stderr)
    return 1 if failed else status


if __name__ == "__main__":
    sys.exit(main())
