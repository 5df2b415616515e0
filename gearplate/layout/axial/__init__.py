"""From a finished layout to what is cut and bought along z: spacers, shafts, standoffs, screws, pinions' places.

`axial_plan` in `plan` does it.
"""
