"""gearplate: from one job file to two cut-ready gearbox plates."""
