"""Rules by topic and the run over all of them."""
