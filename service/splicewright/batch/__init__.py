"""Many questions, a line each: in this process, over processes, over machines."""
