"""The address of this machine on its network."""

from __future__ import annotations

import socket
from typing import Final

from slatewright.desk.settings import LOOPBACK

_FAR: Final = ("198.51.100.1", 9)
"""An address set aside for examples (RFC 5737): nothing is sent, the route to it is only asked."""


def own_address() -> str:
    """Return the address by which others on the network can reach this machine.

    Returns
    -------
    str
        That of the interface which leads outward; the loopback address if none does.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(_FAR)
        except OSError:
            return LOOPBACK
        return str(probe.getsockname()[0])


def listening(address: str, port: int) -> socket.socket:
    """Return a socket that listens, so that a taken port is known before anything is said.

    Parameters
    ----------
    address
        The address to listen on.
    port
        The port; 0 for any that is free.

    Raises
    ------
    OSError
        If it is taken, or not ours.
    """
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        # an answer is not held back for its first part to be confirmed, which takes 40 ms: those
        # who are let in have this from the listener
        listener.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        listener.bind((address, port))
        listener.listen(128)
    except OSError:
        listener.close()
        raise
    return listener
