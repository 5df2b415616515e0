"""What a job can name: motors, gears, bearings, screws, shafts, chain, materials, cutters, with their sources.

The tables are the text files in `profiles/`; a team lays its own folder over them, row by row. `load_catalog` gives
a Catalog; each row is a frozen value with lengths in mm. Only the names below are for other rooms; the dataclasses
stand in the module of their table (`gearplate.catalog.motors.Motor`, ...), so that asking for a motor does not load
the reader of chains.
"""

from gearplate.catalog.catalog import Catalog, load_catalog
from gearplate.catalog.folders import profiles_folder
from gearplate.catalog.unknown import UnknownProfile

__all__ = ["Catalog", "UnknownProfile", "load_catalog", "profiles_folder"]
