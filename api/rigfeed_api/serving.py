"""A server for the app: binds, serves, and on a signal finishes what is running before it leaves."""

from __future__ import annotations

import ipaddress
import logging
import signal
import socket
import threading
import time
from collections.abc import Callable
from types import FrameType
from typing import Any

from flask import Flask

from rigfeed.errors import RigfeedError

THREADS = 4
CONNECTIONS = 256
LONGEST_WAIT_S = 20.0  # for requests that run when the server is told to stop
LARGEST_BODY = 32 * 2**20  # beyond it the connection is closed; the app refuses with a problem document long before


def bound(host: str, port: int) -> socket.socket:
    """A socket that is bound to the first address of a host.

    Raises
    ------
    RigfeedError
        If there is no such host, or the port is taken.
    """
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        made = socket.socket(family, kind, protocol)
    except OSError as error:
        raise RigfeedError(f"there is no address {host!r}: {error.strerror or error}") from error
    try:
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        made.bind(address)
    except OSError as error:
        made.close()
        what = f"cannot listen on {host} port {port}: {error.strerror or error}"
        raise RigfeedError(what, remedy="choose another with --host and --port") from error
    return made


def is_loopback(listening: socket.socket) -> bool:
    """Whether only programs on this machine can reach a bound socket."""
    return ipaddress.ip_address(str(listening.getsockname()[0]).partition("%")[0]).is_loopback


def url(listening: socket.socket) -> str:
    """The address of a bound socket for a browser."""
    host, port = listening.getsockname()[:2]
    return f"http://[{host}]:{port}/" if ":" in host else f"http://{host}:{port}/"


def run(app: Flask, listening: socket.socket, ready: Callable[[], None]) -> None:
    """Serve until SIGTERM or SIGINT; then take no new connection, finish what runs, and return."""
    import waitress
    from waitress import wasyncore

    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # that requests wait for a thread is no trouble
    channels: dict[int, Any] = {}
    server = waitress.create_server(
        app, map=channels, sockets=[listening], threads=THREADS, connection_limit=CONNECTIONS, ident="rigfeed",
        max_request_body_size=LARGEST_BODY, max_request_header_size=64 * 1024, channel_timeout=60,
        clear_untrusted_proxy_headers=True,
    )
    stop = threading.Event()
    before = {number: signal.signal(number, _setting(stop)) for number in (signal.SIGTERM, signal.SIGINT)}
    ready()
    try:
        while not stop.is_set():
            wasyncore.loop(timeout=0.25, map=channels, count=1)
        wasyncore.dispatcher.close(server)  # the listening socket alone; what is open goes on
        until = time.monotonic() + LONGEST_WAIT_S
        while _busy(server) and time.monotonic() < until:
            wasyncore.loop(timeout=0.05, map=channels, count=1)
        server.task_dispatcher.shutdown()
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
        wasyncore.close_all(channels, ignore_all=True)


def _setting(stop: threading.Event) -> Callable[[int, FrameType | None], None]:
    return lambda number, frame: stop.set()


def _busy(server: Any) -> bool:
    """Whether a request runs or an answer is still on its way out."""
    return any(channel.requests or channel.total_outbufs_len for channel in server.active_channels.values())
