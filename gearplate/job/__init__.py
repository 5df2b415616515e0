"""Job file to frozen specs: read, merged with its bases, checked wholly, and only then made into what rooms ask for.

    file(s) --base.py--> Document --reading.py--> Reading --check.py--> problems, or --assemble.py--> JobSpec

Words: a *document* is the merged plain data with the file and line of every value; a *kind* says what one value may be
(`kinds.py`, `lengths.py`); a *table* lists the keys of one table of the file (`model/`); a *reading* is the document as
typed tables, with what was refused; a *level* is where tooth size and pressure angle are said (file, stage, gear). To
add a key: give it a line in `model/`, a default with its standing in `defaults.py`, a place in the spec, a wrong job in
tests/bad/job, a line in profiles/jobs/every-key.toml, and print the schema again.
"""
