"""``slatewright desk``: the pages, served until somebody ends it."""

from __future__ import annotations

import errno
import sys
from typing import TYPE_CHECKING

from slatewright.cli import environment
from slatewright.cli.reporting import say
from slatewright.cli.workspaces import opened
from slatewright.errors import InputError

if TYPE_CHECKING:
    import socket

    from slatewright.store.database import Store

_EVERYWHERE = "0.0.0.0"  # noqa: S104 - only on the person's word, and behind a password


def run_desk(
    workspace: str | None,
    *,
    port: int,
    serve_others: bool,
    address: str | None,
    new_password: bool,
    browser: bool,
) -> None:
    """Serve the desk.

    Parameters
    ----------
    workspace
        The folder or address; None for the person's own.
    port
        The port; 0 for any.
    serve_others
        True to answer other machines.
    address
        The name that others use; None to find out.
    new_password
        True to ask for another password.
    browser
        True to open the browser, if this is a terminal.
    """
    with opened(workspace) as store:
        from slatewright.desk.addresses import own_address  # noqa: PLC0415 - start-up is budgeted
        from slatewright.desk.serving import serve  # noqa: PLC0415 - same
        from slatewright.desk.settings import LOOPBACK, DeskSettings  # noqa: PLC0415 - same

        if (address or new_password) and not serve_others:
            raise InputError(
                "is only for serving others",
                where="--address" if address else "--new-password",
                right="--serve-others with it",
            )
        if serve_others:
            _need_password(store, anew=new_password)
        _adopt_house_rules(store)
        listener = _listener(_EVERYWHERE if serve_others else LOOPBACK, port)
        names = (address or own_address(),) if serve_others else ()
        settings = DeskSettings(
            port=listener.getsockname()[1], other_names=names, serving_others=serve_others
        )

        def ready() -> None:
            sys.stdout.write(f"The desk is open at {settings.address} (end it with Ctrl-C)\n")
            sys.stdout.flush()
            if browser and sys.stdout.isatty():
                import webbrowser  # noqa: PLC0415 - as above

                webbrowser.open(settings.address)

        with listener:
            serve(store, settings, listener, ready)


def _listener(address: str, port: int) -> socket.socket:
    from slatewright.desk.addresses import listening  # noqa: PLC0415 - as above

    try:
        return listening(address, port)
    except OSError as error:
        taken = error.errno == errno.EADDRINUSE
        what = "is taken, perhaps by a desk that is open already" if taken else "is not ours"
        raise InputError(
            what, where=f"--port {port}", right="another number, or 0 for any that is free"
        ) from None


def _need_password(store: Store, *, anew: bool) -> None:
    """Make sure that there is a password, asking for one if there is none."""
    from slatewright.store.clock import now_utc  # noqa: PLC0415 - as above
    from slatewright.store.logins import (  # noqa: PLC0415 - as above
        get_password_hash,
        hash_password,
        set_password_hash,
    )

    with store.read() as session:
        known = get_password_hash(session)
    if known is not None and not anew:
        return
    hashed = hash_password(_asked_password())
    with store.write() as session:
        set_password_hash(session, hashed, now=now_utc())


def _asked_password() -> str:
    """Ask on the terminal, unseen and twice; or read one line of what is piped in."""
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    import typer  # noqa: PLC0415 - start-up is budgeted

    return str(
        typer.prompt(
            "A password for others", hide_input=True, confirmation_prompt="Once more", err=True
        )
    )


def _adopt_house_rules(store: Store) -> None:
    """Take the person's own house rules into a workspace that has none yet."""
    from slatewright.dive.house_rules import read_house_rules  # noqa: PLC0415 - as above
    from slatewright.store.clock import now_utc  # noqa: PLC0415 - as above
    from slatewright.store.settings import (  # noqa: PLC0415 - as above
        HOUSE_RULES,
        get_setting,
        save_setting,
    )

    path = environment.house_rules_path(None)
    if path is None:
        return
    with store.read() as session:
        if get_setting(session, HOUSE_RULES) is not None:
            return
    read_house_rules(path)  # refuses what has faults
    with store.write() as session:
        save_setting(session, HOUSE_RULES, 0, path.read_text("utf-8-sig"), now=now_utc())
    say(f"The workspace has taken over your house rules from {path}")
