"""Knowledge put to work: rules for the engine, tables for belief, and explanations that join the two."""
