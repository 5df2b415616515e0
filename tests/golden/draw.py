"""What the README shows: pictures of a real build beside this file, and its account in the README.

    python tests/golden/draw.py

builds the example again and writes both anew. Look at them before you commit them: the test beside holds the README to
what a build gives, not to what is right.
"""

from __future__ import annotations

import io
import sys
import tempfile
from contextlib import chdir, redirect_stdout
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(ROOT))

from gearplate.cli import main  # noqa: E402 - the checkout is put on the path first

JOB = "compost-drive"
PICTURES = ("overlay.svg", "preview-outboard-right.svg", "section.svg")
README = ROOT / "README.md"
BEGIN, END = "<!-- account: written by tests/golden/draw.py -->\n```text\n", "```\n<!-- end of account -->\n"


def built() -> tuple[str, dict[str, bytes]]:
    """The account of a build of the example in an empty folder, and the pictures that the README shows."""
    with tempfile.TemporaryDirectory() as folder, chdir(folder):
        stdout = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
        with redirect_stdout(stdout):
            code = main(["build", JOB])
        stdout.seek(0)
        account = stdout.read()
        if code != 0:
            raise SystemExit(f"the example does not build: {account}")
        return account, {name: Path("out", JOB, name).read_bytes() for name in PICTURES}


def with_account(readme: str, account: str) -> str:
    """The README with the account between its marks."""
    head, rest = readme.split(BEGIN)
    return head + BEGIN + account + END + rest.split(END)[1]


if __name__ == "__main__":
    account, pictures = built()
    README.write_text(with_account(README.read_text(encoding="utf-8"), account), encoding="utf-8")
    for name, data in pictures.items():
        (HERE / name).write_bytes(data)
