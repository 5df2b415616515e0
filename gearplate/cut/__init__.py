"""Kerf, fit, taper, turn: a plate becomes the paths the beam follows."""
