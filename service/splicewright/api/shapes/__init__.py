"""What answers hold: schemas that document and, in tests, check them. Answers are not read back by them at run time."""
