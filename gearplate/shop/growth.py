"""Growth of what gears and bearings are made of, by warmth [1/K], least and greatest."""

from __future__ import annotations

# Metals handbooks and plastics design guides, from memory.
CTE_PER_K = {
    "steel": (11.0e-6, 12.5e-6),
    "aluminium": (23.4e-6, 23.8e-6),
    "brass": (18.0e-6, 20.0e-6),
    "acetal": (100e-6, 120e-6),
}


def cte_per_k(material: str) -> tuple[float, float]:
    """By the material's name as the gear table has it; of steel where it is none of these: that grows least, so that
    plates of plastic move most against it."""
    return CTE_PER_K.get(material, CTE_PER_K["steel"])
