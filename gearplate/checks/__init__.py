"""Rules by topic and the run over all of them.

Rules, words and what they hold are named tuples: `explain` defines them all to show one, and Python makes such a class
ten times as fast as a frozen dataclass.
"""
