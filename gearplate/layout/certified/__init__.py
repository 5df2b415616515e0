"""Layouts with a certificate: the best one, a bound that no layout beats, or a proof that there is none."""
