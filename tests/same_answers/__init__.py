"""Whether two versions give the same answers: `--write FILE` in the one, `--compare FILE` in the other."""
