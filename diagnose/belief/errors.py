"""What goes wrong when numbers do not make a network, or a name is not in it."""

__all__ = ["BeliefError"]


class BeliefError(ValueError):
    """A number or a name that belief cannot use; `culprit` is the id or ids it belongs to."""

    def __init__(self, culprit: str, says: str) -> None:
        super().__init__(f"{culprit}: {says}")
        self.culprit = culprit
