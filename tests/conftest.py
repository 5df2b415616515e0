"""Options and settings of all tests."""

from __future__ import annotations

import os

import pytest
from hypothesis import settings

# As the installed command does, before numpy is loaded: threads of small arrays only get in each other's way.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--deep",
        type=int,
        default=1,
        metavar="TIMES",
        help="try that many times as many random jobs, and other ones on each run",
    )


def pytest_configure(config: pytest.Config) -> None:
    # The same examples on every ordinary run: a red CI means that something was changed, not that a die fell badly.
    deep = config.getoption("--deep") > 1
    settings.register_profile("gearplate", deadline=None, derandomize=not deep, print_blob=True)
    settings.load_profile("gearplate")


@pytest.fixture(scope="package")
def deep(request: pytest.FixtureRequest) -> int:
    """How many times as many random jobs as usual are wanted (`--deep TIMES`)."""
    return int(request.config.getoption("--deep"))
