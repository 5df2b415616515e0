"""Play of meshes: what moves two gears apart or together, by how much, and what that leaves of their backlash.

Pure mathematics: worst case, distribution of the sum of all causes, simulation, and the added centre distance
that follows from them.
"""
