"""How far from the floor things stay: the same figures for the search and for the check of the ground."""

LEAST_MM = 3.0  # under the lowest gear or plate; common practice, no source
KEPT_MM = 10.0  # under what the tool places itself; common practice, no source
