"""The project file `splicewright.toml`: found, read, and written for a beginning."""
