"""A job ready to be built: the frozen specs of all rooms, and the document that they came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from gearplate.catalog import Catalog
from gearplate.errors import ToolBug
from gearplate.gears.play.spec import PlaySpec
from gearplate.gears.spec import ReductionWish, TrainSpec
from gearplate.job.defaults import Assumption
from gearplate.job.document import Document
from gearplate.layout.spec import LayoutSpec, Side
from gearplate.plate.spec import Identity, PlateSpec
from gearplate.shop import Shop
from gearplate.units import Unit

if TYPE_CHECKING:
    from gearplate.job.reading import Reading
    from gearplate.rating.duty import Duty
    from gearplate.rating.rate import Tables


@dataclass(frozen=True, slots=True, eq=False)
class JobSpec:
    """What a job asks of every room.

    `name` is what its output folder is called after. `wish` is there where the job gives a reduction instead of tooth
    counts; then `resolved` is None until `with_train` has been given the counts. `shops` holds None for a plate whose
    material must never be cut: a check refuses it, and nothing may be cut. `drawing_unit` is that of the cut files,
    `units` those of the job file, for showing.
    """

    name: str
    identity: Identity
    resolved: LayoutSpec | None
    plate_spec: PlateSpec
    wish: ReductionWish | None
    shops: Mapping[Side, Shop | None]
    drawing_unit: Unit
    units: Unit
    assumptions: tuple[Assumption, ...]
    document: Document
    catalog: Catalog
    reading: Reading

    @property
    def layout_spec(self) -> LayoutSpec:
        """What the layout is asked for. Raises ToolBug while a wanted reduction has no tooth counts yet."""
        if self.resolved is None:
            raise ToolBug("the job asks for a reduction whose tooth counts were not chosen before the layout")
        return self.resolved

    @property
    def train(self) -> TrainSpec | None:
        """The train by tooth counts; None while a wanted reduction has none yet."""
        return None if self.resolved is None else self.resolved.train

    @property
    def raw(self) -> dict[str, Any]:
        """The merged job as plain data: what the file and its bases say, without defaults. Not to be changed."""
        return self.document.data

    @property
    def play(self) -> PlaySpec:
        """What the play of the gears is reckoned with."""
        from gearplate.job.play import play_spec

        return play_spec(self.reading)

    @property
    def duty(self) -> Duty:
        """What the machine weighs and does, for ratings."""
        from gearplate.job.duty import duty_of

        return duty_of(self.reading)

    @property
    def duty_said(self) -> frozenset[str]:
        """The fields of the duty that the job itself sets."""
        from gearplate.job.duty import said_of_duty

        return said_of_duty(self.reading)

    @property
    def rated_duty(self) -> Duty | None:
        """The duty where the job says what its machine weighs: only then are margins below 1 findings."""
        return self.duty if "mass_kg" in self.duty_said else None

    @property
    def rating_tables(self) -> Tables | None:
        """What ratings look up; None where nothing is rated in a build."""
        if "mass_kg" not in self.duty_said:
            return None
        from gearplate.rating.rate import tables_of

        return tables_of(self.catalog)

    @property
    def gear_materials(self) -> dict[str, str]:
        """What the gears of each class of the catalogue are made of."""
        from gearplate.job.play import gear_materials

        return gear_materials(self.catalog)

    def shop(self, side: Side) -> Shop:
        """Cutter, material and fits of one plate. Raises ToolBug for a material that must never be cut."""
        shop = self.shops[side]
        if shop is None:
            raise ToolBug(f"a cut was asked for in a material that must never be cut ({side} plate)")
        return shop

    def changed(self, changes: Mapping[str, object]) -> JobSpec:
        """This job with values set at dotted keys, as a finding's remedy does; no file is touched.

        A bare number is in the job file's units, text carries its own ("5 in"); None removes a key. `motors.M2.side`
        speaks of the second motor, whether or not it is one of a group. Raises JobError as loading does.
        """
        from gearplate.job.load import job_from
        from gearplate.job.setting import with_changes

        return job_from(with_changes(self.document, changes), self.catalog)
