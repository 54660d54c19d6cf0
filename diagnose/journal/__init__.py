"""What is kept: an append-only record in SQLite, in the site's folder."""
