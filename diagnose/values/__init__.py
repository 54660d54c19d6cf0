"""Words that every room but the engine may use: places, problems, quantities, names, harmless text."""
