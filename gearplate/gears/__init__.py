"""Involute geometry, meshes and trains: pure maths."""
