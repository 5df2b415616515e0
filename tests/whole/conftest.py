"""Designs of the zoo, built and written once in each process that runs tests."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from gearplate.packet.contents import Packet
from gearplate.packet.write import write
from gearplate.record.design import Design
from tests import zoo


@dataclass(frozen=True)
class Whole:
    """One build as it lies on the disk. `record` is design.json read again."""

    name: str
    design: Design
    packet: Packet
    folder: Path
    record: dict[str, Any]

    def plates(self, hand: str | None = None) -> list[dict[str, Any]]:
        return [plate for plate in self.record["plates"] if hand in (None, plate["hand"])]

    def data(self, plate: dict[str, Any]) -> bytes:
        """The bytes of a plate's cut file."""
        return (self.folder / plate["file"]).read_bytes()


@pytest.fixture(scope="package")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Whole]:
    """A design of the zoo by name, written into a folder of its own."""
    done: dict[str, Whole] = {}

    def get(name: str) -> Whole:
        if name not in done:
            design = zoo.built(name)
            folder = tmp_path_factory.mktemp("zoo") / name
            packet = write(design, folder)
            record = json.loads((folder / "design.json").read_text("ascii"))
            done[name] = Whole(name, design, packet, folder, record)
        return done[name]

    return get
