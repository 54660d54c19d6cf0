"""Keys and screen: the faces that an operator meets. Only ``app`` imports the terminal library."""
