"""Shared by all tests: the network is closed. Whatever opens a connection, of ours or of a library, fails its test."""

from __future__ import annotations

import sys

OPENS = ("socket.connect", "socket.bind", "socket.sendto", "socket.getaddrinfo", "socket.gethostbyname")


class NetworkUsedError(RuntimeError):
    """Something wanted the network."""


def refuse(event: str, arguments: tuple) -> None:
    """Refuse what would reach beyond this computer; pipes, pairs of sockets and those that are a file stay."""
    named_file = event in ("socket.connect", "socket.bind") and isinstance(arguments[1], str | bytes)
    if event in OPENS and not named_file:
        raise NetworkUsedError(f"{event} {arguments[1:]}: diagnose is offline")


def pytest_configure() -> None:
    """Close the network before any test is read. Python offers no way to open it again in this process."""
    sys.addaudithook(refuse)
