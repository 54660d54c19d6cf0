"""Exact odds over few causes: which are likely, what to ask next, and why.

It sees ids and numbers only. Build a `Table` for each finding and a `Network`; a `Belief` takes answers and gives
posteriors, forecasts and gains. `weight` explains, `information` values questions and repairs, `quickscore` is exact
over any number of causes, `learning` counts outcomes, `sampling` draws cases, `scoring` judges probabilities.
"""

from diagnose.belief.belief import Belief
from diagnose.belief.errors import BeliefError
from diagnose.belief.evidence import Likelihood, firm, unsure, weighted
from diagnose.belief.network import Network, scaled_odds
from diagnose.belief.table import Table

__all__ = ["Belief", "BeliefError", "Likelihood", "Network", "Table", "firm", "scaled_odds", "unsure", "weighted"]
