"""One file a change of the schema; file names are importable, so that types are checked."""
