"""The socket that the desk listens on."""

from __future__ import annotations

import socket

from slatewright.desk.addresses import listening


def test_an_answer_is_not_held_back_for_its_first_part_to_be_confirmed():
    with (
        listening("127.0.0.1", 0) as listener,
        socket.create_connection(listener.getsockname(), 5),
        listener.accept()[0] as accepted,
    ):
        assert accepted.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY)
