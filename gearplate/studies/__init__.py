"""Whatever builds more than once: remedies that are tried before they are told."""
