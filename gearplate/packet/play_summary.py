"""The play of a build's meshes in a sentence or two, for account and page; `gearplate play` tells the rest."""

from __future__ import annotations

from typing import Any

from gearplate.packet.account_parts import mesh_groups
from gearplate.packet.columns import wrapped
from gearplate.packet.sizes import listed


def play_summary_lines(record: dict[str, Any], width: int) -> list[str]:
    """Least, average and greatest operating backlash of each mesh, and how many of such gearboxes bind; nothing where
    the play could not be reckoned."""
    told = []
    binding = 0.0
    for group in mesh_groups(record):
        plays = [mesh["play"] for mesh in group if mesh["play"] is not None]
        if len(plays) != len(group) or any(not _known(play) for play in plays):
            continue
        least = min(play["likely_mm"][0] for play in plays)
        most = max(play["likely_mm"][1] for play in plays)
        mean = sum(play["mean_mm"]["operating"] for play in plays) / len(plays)
        binding = max(binding, *(play["probability_binds"] for play in plays))
        whose = f"{listed([mesh['driver_shaft'] for mesh in group])} to {group[0]['driven_shaft']}"
        told.append(f"{whose} {least:.3f} to {most:.3f} mm, {mean:.3f} mm on average")
    if not told:
        return []
    text = (
        f"Play in 999 of 1000: {'; '.join(told)}. The tightest mesh binds in {often(binding)}; gearplate play tells all"
    )
    return wrapped(text, width, "", "  ")


def _known(play: dict[str, Any]) -> bool:
    values = (*play["likely_mm"], play["mean_mm"]["operating"], play["probability_binds"])
    return all(value is not None for value in values)


def often(part: float) -> str:
    """ "fewer than 1 of 1000", "about 1 of 250", "about 30 of 100"."""
    if part < 0.001:
        return "fewer than 1 of 1000"
    return f"about 1 of {round(1 / part)}" if part < 0.05 else f"about {round(100 * part)} of 100"
