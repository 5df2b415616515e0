"""The questions that many specs in a row come to. Working out what stands in whose way takes longer than most proofs,
and specs that differ by their limits alone have it in common."""

from __future__ import annotations

from dataclasses import dataclass, field, fields

from gearplate.layout.constraints import Model, build_model
from gearplate.layout.design import Stack
from gearplate.layout.finish import rail_screws
from gearplate.layout.spec import LayoutSpec
from gearplate.layout.stack import axial_stack

Points = tuple[tuple[float, float], ...]


@dataclass(slots=True)
class Models:
    """Stack, rail screws and model of the spec asked for last, kept while only the limits change."""

    _spec: LayoutSpec | None = None
    _stack: Stack | None = None
    _rails: dict[float, Points] = field(default_factory=dict)
    _models: dict[tuple[Points, bool, float], Model] = field(default_factory=dict)

    def stack(self, spec: LayoutSpec) -> Stack:
        """Where plates and gear planes stand along z."""
        if self._stack is None or self._spec is None or not _alike(spec, self._spec):
            self._spec, self._stack = spec, axial_stack(spec)
            self._rails, self._models = {}, {}
        return self._stack

    def rail(self, spec: LayoutSpec, extra_mm: float) -> Points:
        """The rail's screws, so much farther out than they must."""
        stack = self.stack(spec)
        if extra_mm not in self._rails:
            self._rails[extra_mm] = rail_screws(spec, stack, extra_mm)
        return self._rails[extra_mm]

    def model(self, spec: LayoutSpec, rail: Points, sure: bool, share: float) -> Model:
        """As build_model."""
        stack, key = self.stack(spec), (rail, sure, share)
        if key not in self._models:
            self._models[key] = build_model(spec, stack, rail, sure=sure, share=share)
        return self._models[key]


def _alike(one: LayoutSpec, other: LayoutSpec) -> bool:
    """Whether nothing but the limits may differ."""
    return all(
        getattr(one, each.name) is getattr(other, each.name) for each in fields(LayoutSpec) if each.name != "limits"
    )
