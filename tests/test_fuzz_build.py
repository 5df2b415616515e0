"""Random jobs, valid and mangled, through the whole build: an answer in words, quickly, and only in its own folder."""

from __future__ import annotations

import json
import tempfile
import time
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, note, settings
from hypothesis import strategies as st

from tests.builders.command import Answer, call, job_in
from tests.builders.jobs import Dice, job_text, mangled_job, valid_job

# Several tests of few jobs each rather than one of many: they run beside each other.
PARTS, JOBS = 6, 25  # 150 in all
MANGLED_PARTS = 2
SLOWEST_S = 2.0
ATTEMPTS = 3  # at being quick, where others use the machine as well
_SETTINGS = {
    "suppress_health_check": [HealthCheck.too_slow, HealthCheck.data_too_large],
    # A build takes too long to be tried a thousand times for a smaller job: the job that failed is shown as it is.
    "phases": (Phase.explicit, Phase.reuse, Phase.generate),
}


def text_of(run: bytes, part: int) -> str:
    """The job that a run of bytes stands for; the same bytes stand for another one in each part."""
    dice = Dice(bytes((byte + 37 * part) % 256 for byte in run))
    return mangled_job(dice) if part < MANGLED_PARTS else job_text(valid_job(dice))


def build(text: str, draft: bool, folder: Path) -> tuple[Answer, float]:
    """The answer to a build, and the processor time that it took."""
    job_in(folder, text)
    start = time.process_time()
    answer = call("build", *(["--draft"] if draft else []), folder=folder)
    return answer, time.process_time() - start


@pytest.mark.parametrize("part", range(PARTS))
def test_any_job_gets_an_answer(part: int, deep: int) -> None:
    codes: list[int] = []

    @settings(max_examples=JOBS * deep, **_SETTINGS)  # type: ignore[arg-type]
    @given(run=st.binary(min_size=300, max_size=300))
    def one(run: bytes) -> None:
        text = text_of(run, part)
        note(text)
        with tempfile.TemporaryDirectory() as above:
            folder = Path(above, "work")
            folder.mkdir()
            answer, seconds = build(text, part % 2 == 1, folder)
            codes.append(answer.code)
            assert answer.code in (0, 1, 2), answer.err
            assert "Traceback" not in answer.err
            for _ in range(ATTEMPTS - 1):
                if seconds >= SLOWEST_S:
                    seconds = build(text, part % 2 == 1, folder)[1]
            assert seconds < SLOWEST_S
            assert [path.name for path in Path(above).iterdir()] == ["work"]
            left = {path.name for path in folder.iterdir()}
            if answer.code == 2:
                assert left == {"job.toml"}
                assert answer.out == ""
                assert answer.err.strip()
                return
            assert left == {"job.toml", "out"}
            assert [path.name for path in (folder / "out").iterdir()] == ["job"]
            whole(folder / "out" / "job", answer.code)

    one()
    # Enough of either, or the draw does not test what it says.
    refused = sum(code == 2 for code in codes)
    assert refused > JOBS / 4 if part < MANGLED_PARTS else refused < JOBS / 4


def whole(folder: Path, code: int) -> None:
    """The folder holds what its manifest lists, and cut files only where the answer was yes or a draft."""
    rows = json.loads((folder / "manifest.json").read_bytes())["files"]
    assert {row["name"] for row in rows} | {"manifest.json"} == {path.name for path in folder.iterdir()}
    assert all(sha256((folder / row["name"]).read_bytes()).hexdigest() == row["sha256"] for row in rows)
    record = json.loads((folder / "design.json").read_bytes())
    assert record["status"] == "ok" if code == 0 else record["status"] in ("refused", "draft")
    cut = [row["name"] for row in rows if row["role"] == "cut file"]
    assert bool(cut) == (record["status"] != "refused")
    if record["status"] == "draft":
        assert all("DRAFT" in name for name in cut)
