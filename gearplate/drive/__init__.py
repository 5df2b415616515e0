"""Motors as straight lines, what a drive may draw, what its wheels grip, and chain and belt runs. No layout here."""
