"""Rules and catalogues tried before anyone relies on them, in a process of their own."""
