"""What is sawn to length and which screws are fetched, as rows: how many, what, how long."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from gearplate.packet.characters import harmless
from gearplate.packet.columns import wrapped
from gearplate.packet.sizes import bare, both, one, unit_of, unit_word

Row = tuple[int, str, str]

ON_THE_BENCH = "spacers beside its blocks and its float: set on the bench"
_NO_STANDARD = 1e-6


def cut_rows(record: dict[str, Any], shafts: bool = True) -> list[Row]:
    """Shafts with their spacers, then standoffs and tubes; equal ones together."""
    axial = record.get("axial")
    if axial is None:
        return []
    unit = unit_of(record)
    found: dict[tuple[str, str], int] = {}

    def add(what: str, length_mm: float, more: str = "", count: int = 1) -> None:
        key = (what, both(length_mm, unit) + more)
        found[key] = found.get(key, 0) + count

    if shafts:
        for shaft in axial["shafts"]:
            more = f", held by {_rings(shaft)}" if shaft["held_by"] else ""
            more += f"; {ON_THE_BENCH}" if _on_the_bench(shaft) else ""
            add(f"shaft {shaft['shaft']}, {harmless(shaft['stock'], 30)}", shaft["cut_length_mm"], more)
        for shaft in axial["shafts"]:
            for part in shaft["parts"]:
                if part["kind"] in ("spacer", "shim"):
                    add(f"spacer, {one(part['outside_mm'], unit)} outside", part["length_mm"], f" on {shaft['shaft']}")
    for post in axial["posts"]:
        tapped = "" if post["tapped_mm"] is None else f", tapped {one(post['tapped_mm'], unit)} deep at both ends"
        add(f"{post['what']}, {one(post['outside_mm'], unit)} outside", post["cut_length_mm"], tapped, post["count"])
    return [(count, what, told) for (what, told), count in found.items()]


def _rings(shaft: dict[str, Any]) -> str:
    """ "ring-8mm", or "2 ring-8mm" where one sits at each end."""
    count = sum(part["kind"] == "retainer" for part in shaft["parts"])
    name = harmless(shaft["held_by"], 30)
    return f"{count} {name}" if count > 1 else name


def _on_the_bench(shaft: dict[str, Any]) -> bool:
    """Whether blocks of unknown size carry it, so that no spacers beside them could be worked out."""
    return shaft["float_mm"] is None


def screw_rows(record: dict[str, Any]) -> list[Row]:
    """Screws by size and length, with what they hold; then nuts and washers."""
    axial = record.get("axial")
    if axial is None:
        return []
    found: dict[tuple[str, float, bool, bool], list[Any]] = {}
    nuts: dict[str, int] = {}
    washers: dict[str, int] = {}
    for screw in axial["screws"]:
        entry = found.setdefault((screw["screw"], screw["length_mm"], screw["inch"], screw["on_hand"]), [0, []])
        entry[0] += screw["count"]
        use = screw["what"].split(",")[0] + "s" if screw["what"] != "rail" else "rail"
        if use not in entry[1]:
            entry[1].append(use)
        for kind, count in ((nuts, screw["nuts"]), (washers, screw["washers"])):
            if count:
                kind[screw["screw"]] = kind.get(screw["screw"], 0) + count
    rows = [
        (
            count,
            f"screw {harmless(name, 20)} × {screw_length(length_mm, inch)}",
            " and ".join(uses) + ("" if on_hand else ", no such length in the table: cut one"),
        )
        for (name, length_mm, inch, on_hand), (count, uses) in found.items()
    ]
    rows += [(count, f"nut {harmless(name, 20)}", "") for name, count in nuts.items()]
    rows += [(count, f"washer {harmless(name, 20)}", "") for name, count in washers.items()]
    return rows


def saw_lines(record: dict[str, Any], width: int) -> Iterator[str]:
    """The same in short, for the account: what is sawn, and the screws."""
    axial = record.get("axial")
    if axial is None:
        return
    unit = unit_of(record)
    shafts = [f"{shaft['shaft']} {bare(shaft['cut_length_mm'], unit)}" for shaft in axial["shafts"]]
    lengths: dict[str, int] = {}
    for shaft in axial["shafts"]:
        for part in shaft["parts"]:
            if part["kind"] in ("spacer", "shim"):
                told = bare(part["length_mm"], unit)
                lengths[told] = lengths.get(told, 0) + 1
    sawn = [f"shafts {', '.join(shafts)}"]
    if lengths:
        sawn.append("spacers " + ", ".join(f"{count} of {told}" for told, count in lengths.items()))
    for post in axial["posts"]:
        plural = "" if post["count"] == 1 else "s"
        sawn.append(f"{post['count']} {post['what']}{plural} of {bare(post['cut_length_mm'], unit)}")
    sawn += [f"{shaft['shaft']}: {ON_THE_BENCH}" for shaft in axial["shafts"] if _on_the_bench(shaft)]
    yield from wrapped(f"Saw, in {unit_word(unit)}: {'; '.join(sawn)}", width, "", "  ")
    screws = [f"{count} {what.removeprefix('screw ')}" for count, what, _ in screw_rows(record) if "screw" in what]
    if screws:
        yield from wrapped(f"Screws: {', '.join(screws)}", width, "", "  ")


def screw_length(length_mm: float, inch: bool) -> str:
    """ "16 mm", or inches as the trade says them: "1-1/4 in"."""
    eighths = length_mm / 25.4 * 8.0
    if not inch or abs(eighths - round(eighths)) > _NO_STANDARD:
        return f"{length_mm:g} mm"
    whole, part = divmod(round(eighths), 8)
    if not part:
        return f"{whole} in"
    bottom = 8
    while part % 2 == 0:
        part, bottom = part // 2, bottom // 2
    return f"{whole}-{part}/{bottom} in" if whole else f"{part}/{bottom} in"
