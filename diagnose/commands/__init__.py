"""The door: arguments, wiring and exit status. The only room that sees all others."""
