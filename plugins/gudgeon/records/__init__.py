"""YAML text to a typed model, with the place of every value and all problems at once."""
