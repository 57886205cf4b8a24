"""How long a capture of ten million samples takes, and its memory: printed, never failed by the clock.

`make bench` runs it. Each runs in a process of its own, whose own processor time and memory are told.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

pytestmark = pytest.mark.benchmark

SAMPLES = 10_000_000
AT_ONCE = 500_000

PROGRAM = """
import resource, sys, time
from pathlib import Path
from kb.captures import measure, picture, read_capture
begun = time.process_time()
found = read_capture(Path(sys.argv[1]).read_bytes(), "long.csv")
read = time.process_time()
measured = measure(found)
drawn = picture(measured)
done = time.process_time()
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(f"{found.time.count} {measured.pulses} {read - begun:.1f} {done - read:.1f} {peak:.0f}")
"""


@pytest.fixture(scope="module")
def lines() -> list[str]:
    rng = np.random.default_rng(1)
    made = []
    for start in range(0, SAMPLES, AT_ONCE):
        at = np.arange(start, start + AT_ONCE)
        volts = np.where(at % 100_000 < 20_000, 5.0, 0.0) + rng.normal(0, 0.02, AT_ONCE)
        made.append("".join(f"{t:.8e},{v:.5f}\n" for t, v in zip(at * 1e-6, volts, strict=True)))
    return made


@pytest.mark.parametrize("dialect", ["comma", "semicolon and decimal comma", "a gap in every line", "words"])
def test_ten_million_samples(dialect: str, lines: list[str], tmp_path: Path) -> None:
    file = tmp_path / "long.csv"
    with file.open("w", encoding="utf-8") as written:
        written.write(_text("time (s),ch1 (V)\n", dialect))
        for number, each in enumerate(lines):
            block = _text(each, dialect)
            if dialect == "words":
                # one word in each block: every one of them has to be taken apart
                block = f"{number * AT_ONCE * 1e-6 - 5e-7:.8e},OVER\n{block}" if number else block
            written.write(block)
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(file)], capture_output=True, text=True, check=True
    )
    count, pulses, read, measured, peak = done.stdout.split()
    assert int(count) >= SAMPLES
    assert int(pulses) >= SAMPLES // 100_000 - 1
    print(f"\n{dialect}: read in {read} s, measured and drawn in {measured} s, peak {peak} MB")


def _text(lines: str, dialect: str) -> str:
    if dialect.startswith("semicolon"):
        return lines.replace(",", ";").replace(".", ",")
    return lines.replace("\n", ",,\n") if dialect.startswith("a gap") else lines
