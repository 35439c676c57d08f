"""The tests: a package, since a dependency brings one of this name that would be found instead."""
