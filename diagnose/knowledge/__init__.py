"""YAML text that planners write, checked and turned into a frozen model."""
