"""Features of both plates in nominal millimetres."""
