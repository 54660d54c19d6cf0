"""Pages: a document is put together once and rendered as a self-contained HTML page or as Markdown."""
