"""What the axial stack buys: screw lengths, rings and collars, the width of sprockets."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from gearplate.catalog import Catalog
from gearplate.errors import JobError

Overlay = Callable[..., Catalog]


def test_metric_lengths_are_steps_of_the_standard(shipped: Catalog) -> None:
    # ISO 888 nominal lengths of bolts and screws, first choice, from memory
    steps = {2, 2.5, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 80, 90, 100, 110, 120}
    sizes = [screw for screw in shipped.fasteners().values() if screw.threads_per_in is None]
    assert len(sizes) >= 7
    for screw in sizes:
        assert set(screw.lengths_mm) <= steps
        assert min(screw.lengths_mm) <= 2 * screw.nominal_mm
        assert screw.standing_for("lengths_mm") == "from memory"


def test_inch_lengths_step_by_eighths_and_quarters(shipped: Catalog) -> None:
    # ASME B18.3, length increments: 1/8 in up to 1 in, 1/4 in up to 4 in, from memory
    for screw in shipped.fasteners().values():
        if screw.threads_per_in is not None:
            for length in screw.lengths_mm:
                inches = length / 25.4
                assert inches * (8 if inches <= 1 else 4) == pytest.approx(round(inches * (8 if inches <= 1 else 4)))
            assert max(screw.lengths_mm) >= 1.5 * 25.4


def test_rings_sit_in_grooves_that_the_standard_tells(shipped: Catalog) -> None:
    # DIN 471: shaft 8: s 0.8, d2 7.6, m 0.9; shaft 12: s 1, d2 11.5, m 1.1 (from memory)
    for name, width, bottom, groove in (("ring-8mm", 0.8, 7.6, 0.9), ("ring-12mm", 1.0, 11.5, 1.1)):
        ring = shipped.retainer(name)
        assert ring.groove is not None
        assert (ring.width_mm, ring.groove.diameter_mm, ring.groove.width_mm) == (width, bottom, groove)
        assert ring.groove_spare_mm == pytest.approx(groove - width)
    collar = shipped.retainer("collar-12mm")  # DIN 705: 12 x 22 x 12 (from memory)
    assert (collar.section.across_mm, collar.outside_mm, collar.width_mm) == (12, 22, 12)
    assert collar.groove_spare_mm == 0.0


def test_every_bar_has_something_that_holds_it(shipped: Catalog) -> None:
    held = {retainer.section for retainer in shipped.retainers().values()}
    assert {bar.section for bar in shipped.shafts().values()} <= held


def test_shoulders_of_rings_by_proportion(shipped: Catalog) -> None:
    # as bearing lists print the outside of the inner ring's shoulder, mm (from memory)
    for name, shoulder in (("608", 12.1), ("6000", 14.8), ("61801", 14.8)):
        bearing = shipped.bearing(name)
        assert bearing.inner_shoulder_mm == pytest.approx(shoulder, abs=0.3)
        gap = bearing.outer_shoulder_mm - bearing.inner_shoulder_mm
        assert gap == pytest.approx(0.4 * (bearing.outside_mm - bearing.bore.across_mm))


def test_widths_of_sprockets(shipped: Catalog) -> None:
    # ASME B29.1 single-strand sprockets, as trade tables print them: 0.110 in for 25, 0.168 in for 35 (from memory)
    assert shipped.chain_row("25").sprocket_width_mm / 25.4 == pytest.approx(0.110, abs=0.0005)
    assert shipped.chain_row("35").sprocket_width_mm / 25.4 == pytest.approx(0.168, abs=0.0015)


@pytest.mark.parametrize("lengths", ["[10, 8]", "[10, 10]", "10", '["a"]', "[0.1]", "[true]"])
def test_lengths_out_of_order_are_told(overlaid: Overlay, lengths: str) -> None:
    text = f"""
[fastener.own]
nominal_mm = 5
pitch_mm = 0.8
close_mm = 5.3
normal_mm = 5.5
loose_mm = 5.8
head_diameter_mm = 8.5
head_height_mm = 5
key_mm = 4
driver_diameter_mm = 5.5
washer_outside_mm = 10
washer_thickness_mm = 1
nut_across_flats_mm = 8
nut_height_mm = 4.7
tap_drill_mm = 4.2
lengths_mm = {lengths}
source = "our drawer"
standing = "measured here"
"""
    with pytest.raises(JobError, match="in order"):
        overlaid(fasteners=text).fastener("own")
    assert overlaid(fasteners=text.replace(f"lengths_mm = {lengths}", "lengths_mm = [8, 10]")).fastener(
        "own"
    ).lengths_mm == (8, 10)


def test_a_ring_wants_a_groove_that_it_fits(overlaid: Overlay) -> None:
    row = """
[retainer.own]
kind = "ring"
round_mm = 8
width_mm = 1
outside_mm = 7
groove_width_mm = 0.9
groove_diameter_mm = 8
edge_mm = 1
source = "our drawer"
standing = "measured here"
"""
    with pytest.raises(JobError) as caught:
        overlaid(retainers=row).retainers()
    assert {problem.key.rpartition(".")[2] for problem in caught.value.problems} == {
        "outside_mm", "groove_width_mm", "groove_diameter_mm",
    }  # fmt: skip
