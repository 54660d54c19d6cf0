"""Abnormal-condition troubleshooting for people who run small steam turbines."""

__version__ = "0.1.0"
