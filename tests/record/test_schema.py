"""Records fit their schema, and the schema holds the keys that other programs count on."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from tests.builders.records import finding, record
from tests.builders.schema_check import faults

SCHEMA = json.loads((Path(__file__).parent / "design_record.schema.json").read_text("utf-8"))

# The keys that were promised to other programs: they may be joined by others, and are never renamed.
PROMISED = {
    "$": "record status job drawn_units train shafts gears plates checks findings",
    "$.job": "part revision title hand",
    "$.train": "ratio meshes",
    "$.train.meshes[]": "stage driver_shaft driven_shaft driver_teeth driven_teeth module_mm pressure_angle_deg "
    "profile_shift tooth_thinning_mm added_centre_mm centre_mm working_pressure_angle_deg backlash_mm contact_ratio",
    "$.shafts[]": "name role x_mm y_mm",
    "$.gears[]": "shaft stage teeth tip_diameter_mm face_width_mm z_mm",
    "$.plates[]": "plate hand file face_up material thickness_mm kerf_mm outline features",
    "$.plates[].outline": "area_mm2 bbox_mm",
    "$.plates[].features[]": "id kind form shaft x_mm y_mm finished_diameter_mm path_diameter_mm length_mm angle_deg "
    "area_mm2 bbox_mm",
    "$.checks[]": "check compared",
    "$.findings[]": "check severity where measured limit unit standing message remedy",
    "$.findings[].where": "plate shafts features x_mm y_mm",
}


def schema_at(place: str) -> dict[str, Any]:
    here: dict[str, Any] = SCHEMA
    for step in place.split(".")[1:]:
        here = here["properties"][step.removesuffix("[]")]
        if step.endswith("[]"):
            here = here["items"]
    return here


@pytest.mark.parametrize("place", PROMISED)
def test_the_promised_keys_are_required(place: str) -> None:
    assert set(PROMISED[place].split()) <= set(schema_at(place)["required"])


def test_a_remedy_is_text_set_and_tried() -> None:
    remedy = schema_at("$.findings[]")["properties"]["remedy"]["anyOf"][0]
    assert remedy["required"] == ["text", "set", "drop", "tried"]


@pytest.mark.parametrize("hand", ["right", "left", "both"])
@pytest.mark.parametrize("status", ["ok", "draft", "refused"])
def test_the_records_made_by_hand_fit(hand: str, status: str) -> None:
    assert list(faults(record(hand, status, findings=[finding()]), SCHEMA)) == []


def spoilt() -> list[tuple[str, dict[str, Any]]]:
    cases = []
    for name, change in {
        "a key too many": lambda r: r.update(extra=1),
        "a key too few": lambda r: r["plates"][0].pop("kerf_mm"),
        "a wrong word": lambda r: r.update(status="fine"),
        "text for a number": lambda r: r["plates"][0]["features"][0].update(x_mm="1"),
        "a truth value for a number": lambda r: r["shafts"][0].update(x_mm=True),
        "half a point": lambda r: r["plates"][0]["outline"]["vertices"].append([1.0, 2.0]),
        "a negative count": lambda r: r["checks"][0].update(compared=-1),
        "no thickness": lambda r: r["plates"][0].update(thickness_mm=0),
        "a feature of no kind": lambda r: r["plates"][0]["features"][0].update(kind="hole"),
        "a seat without its bearing": lambda r: r["shafts"][0]["bearings"]["outboard"].pop("bearing"),
    }.items():
        one = record()
        change(one)
        cases.append((name, one))
    return cases


@pytest.mark.parametrize(("name", "wrong"), spoilt(), ids=[name for name, _ in spoilt()])
def test_a_spoilt_record_does_not_fit(name: str, wrong: dict[str, Any]) -> None:
    assert list(faults(wrong, SCHEMA)) != []


def test_the_checker_refuses_keywords_that_it_does_not_know() -> None:
    stricter = copy.deepcopy(SCHEMA) | {"maxProperties": 3}
    with pytest.raises(ValueError, match="maxProperties"):
        list(faults(record(), stricter))
