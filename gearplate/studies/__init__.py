"""Whatever builds or searches more than once: train lists, stretch, comparisons, sweeps."""
