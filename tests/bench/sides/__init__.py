"""One side of a comparison each, in a process of its own: it has seen none of the questions before.

`python -m tests.bench.sides.answers brief` and its like take what they are asked from standard input, questions as JSON
one a line, or a job, and print JSON: `from` (where the package that answered was found), `ns` (nanoseconds for each, in
the order asked), and what came of it.
"""
