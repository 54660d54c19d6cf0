"""Physics and statistics, one formula family a file: pure, each with its formula, units and source."""
