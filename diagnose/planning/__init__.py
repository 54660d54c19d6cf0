"""What a planner does to rules: check, show, compare, cover, extend. Texts and findings out; no files, no screen."""
