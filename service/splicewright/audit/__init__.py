"""Checks over files and folders: find them, read every kind of entry with its places, decide each, waive, compare."""
