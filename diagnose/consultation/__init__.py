"""One run with one operator: intents become events, events fold into a state, the state is shown as one view."""
