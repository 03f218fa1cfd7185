"""How fast it is, against what else the same work could be done with. `python -m tests.bench` prints the table."""
