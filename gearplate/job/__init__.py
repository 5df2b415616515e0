"""Job file to frozen specs."""
