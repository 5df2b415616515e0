"""The finished design as one value, and the record of it that pages, tests and other programs read."""
