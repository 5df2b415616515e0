"""The machine and its use, as a job file writes them: what loads and the wanted life follow from."""

from typing import Annotated, ClassVar

from gearplate.job.kinds import Count, Number, Profile
from gearplate.job.model.table import Table


class Duty(Table):
    """What the machine weighs and does. Where the job says its mass, margins below 1 are findings of the build."""

    key: ClassVar[str] = "duty"

    mass: Annotated[float | None, Number(0.5, 500, "kg"), "mass of the whole machine, kg"] = None
    gearboxes: Annotated[int | None, Count(1, 8), "how many such gearboxes drive it"] = None
    wheels: Annotated[int | None, Count(1, 16), "how many wheels carry it"] = None
    driven_share: Annotated[
        float | None, Number(0.05, 1), "share of the weight that stands on driven wheels, 0 to 1"
    ] = None
    friction: Annotated[
        float | None, Number(0.1, 3), "friction coefficient of a wheel on the floor, a plain number"
    ] = None
    breaker: Annotated[float | None, Number(0.5, 500, "A"), "each motor's breaker, ampere"] = None
    breaker_over: Annotated[
        float | None, Number(1, 10), "how many times its rating, a plain number, a breaker passes for some seconds"
    ] = None
    stage_efficiency: Annotated[float | None, Number(0.5, 1), "of each stage of gears, power out over power in"] = None
    shock: Annotated[float | None, Number(1, 20), "load of a wheel that lands, times its resting load"] = None
    motor_shock: Annotated[
        float | None, Number(1, 100), "what hanging motors feel in a collision, times their weight"
    ] = None
    scrub: Annotated[
        float | None, Number(0, 1), "sideways force when turning on the spot, as a share of what friction allows"
    ] = None
    typical_torque: Annotated[float | None, Number(0.01, 1), "usual torque as a share of the greatest"] = None
    typical_speed: Annotated[float | None, Number(0.01, 1), "usual speed as a share of the free speed"] = None
    hours: Annotated[float | None, Number(0.1, 20_000, "h"), "hours of driving that it shall live"] = None
    reliability: Annotated[float | None, Number(90, 99.95, "per cent"), "per cent of bearings that live so long"] = None
    chain: Annotated[str | None, Profile("chain"), "chain on the output axle that drives other wheels"] = None
    sprocket: Annotated[int | None, Count(6, 100), "teeth of its sprocket on the axle"] = None
    sprockets: Annotated[int | None, Count(1, 4), "how many of them sit on the axle inside the rail"] = None
    chain_share: Annotated[
        float | None, Number(0, 1), "share of the output torque that leaves by chain, 0 to 1; more if the wheel slips"
    ] = None
