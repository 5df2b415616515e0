"""Reads a layout problem file (JSON, lengths in mm) into the solver's neutral form.

A file holds nodes, discs by axial layer, mesh pairs (whose distance is that of their teeth), bands, limits, the discs
whose hull is the plate, one clearance, the objective. Groups of interchangeable nodes are not read: the solver finds
them by itself.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

from gearplate.layout.certified.problem import Apart, HullDisc, LayoutProblem, Node, Outside, Wish, Within


def read_problem(path: Path) -> LayoutProblem:
    return problem_from(json.loads(path.read_text()))


def problem_from(data: dict[str, Any]) -> LayoutProblem:
    number = {node["id"]: i for i, node in enumerate(data["nodes"])}
    nodes = tuple(
        Node(node["id"], at_mm=(float(node["at"][0]), float(node["at"][1])))
        if "at" in node
        else Node(node["id"], about=number[node["about"]], distance_mm=float(node["d"]))
        for node in data["nodes"]
    )
    free = {i for i, node in enumerate(nodes) if node.at_mm is None}
    gap = float(data["clearance"])
    discs = data["discs"]
    meshed = {frozenset(pair) for pair in data["mesh"]}
    strongest: dict[tuple[int, int], Apart] = {}
    for i, disc in enumerate(discs):
        for j, other in enumerate(discs[:i]):
            a, b = number[disc["node"]], number[other["node"]]
            if a == b or not {a, b} & free or frozenset((i, j)) in meshed:
                continue
            if not set(disc["layers"]) & set(other["layers"]):
                continue
            key, least = (min(a, b), max(a, b)), disc["r"] + other["r"] + gap
            if key not in strongest or strongest[key].least_mm < least:
                why = f"{other['node']} {other['kind']} to {disc['node']} {disc['kind']}"
                strongest[key] = Apart(*key, least, why)
    outside: dict[tuple[int, float, float], Outside] = {}
    within: dict[tuple[int, int, int], Within] = {}
    limits = data["limits"]
    for disc in discs:
        node = number[disc["node"]]
        if node not in free:
            continue
        for band in data["bands"]:
            if set(band["layers"]) & set(disc["layers"]):
                key3 = (node, band["y0"], band["y1"])
                low, high = band["y0"] - disc["r"] - gap, band["y1"] + disc["r"] + gap
                if key3 not in outside or outside[key3].y1_mm < high:
                    outside[key3] = Outside(node, -math.inf, low, math.inf, high, f"{disc['node']} band")
        for name, axis, sign in (("x_min", 0, -1), ("x_max", 0, 1), ("y_min", 1, -1), ("y_max", 1, 1)):
            if limits.get(name) is None:
                continue
            most = sign * float(limits[name]) - disc["r"]
            key4 = (node, axis, sign)
            if key4 not in within or within[key4].most_mm > most:
                within[key4] = Within(axis, sign, node, None, most, f"{disc['node']} {name}")
    return LayoutProblem(
        name=data["name"],
        nodes=nodes,
        hull=tuple(HullDisc(number[disc["node"]], float(disc["r"])) for disc in data["plate"]),
        wish=Wish(data["objective"]),
        apart=tuple(strongest.values()),
        within=tuple(within.values()),
        outside=tuple(outside.values()),
    )
