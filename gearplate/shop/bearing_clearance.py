"""Radial internal clearance of deep-groove ball bearings, by ISO 5753-1."""

from __future__ import annotations

# Bore over, up to and including mm; least and greatest diametral clearance, um, of the groups C2, CN (normal) and C3.
# From memory; makers print the same table. The clearance is that of the bearing before it is mounted.
CLEARANCE_UM = (
    (1.5, 6.0, {"C2": (0, 7), "CN": (2, 13), "C3": (8, 23)}),
    (6.0, 10.0, {"C2": (0, 7), "CN": (2, 13), "C3": (8, 23)}),
    (10.0, 18.0, {"C2": (0, 9), "CN": (3, 18), "C3": (11, 25)}),
    (18.0, 24.0, {"C2": (0, 10), "CN": (5, 20), "C3": (13, 28)}),
    (24.0, 30.0, {"C2": (1, 11), "CN": (5, 20), "C3": (13, 28)}),
    (30.0, 40.0, {"C2": (1, 11), "CN": (6, 20), "C3": (15, 33)}),
    (40.0, 50.0, {"C2": (1, 11), "CN": (6, 23), "C3": (18, 36)}),
)
GROUPS = ("C2", "CN", "C3")


def internal_clearance_mm(bore_mm: float, group: str = "CN") -> tuple[float, float]:
    """Least and greatest internal clearance, mm, diametral, by bore (a hexagon: across its corners) and group.

    Beyond the table's ends its first and last rows hold. Raises ValueError for a group that it does not have.
    """
    if group not in GROUPS:
        raise ValueError(f"{group!r}: the groups are {', '.join(GROUPS)}")
    row = next((row for row in CLEARANCE_UM if bore_mm <= row[1]), CLEARANCE_UM[-1])
    low, high = row[2][group]
    return 1e-3 * low, 1e-3 * high
