"""Where each shaft stands in the plates' plane, and where along z everything on it sits."""
