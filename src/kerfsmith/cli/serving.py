"""`kerfsmith serve`."""

import ipaddress
import socket
import sys
from collections.abc import Sequence

from kerfsmith.wiring.application import build_application


def serve(records: str, host: str, port: int, names: Sequence[str] = ()) -> int:
    """Open the records and serve the pages until stopped, to who calls this machine by one of its names."""
    import uvicorn

    if not _is_loopback(host):
        print(
            f"kerfsmith: listening on {host}: others can reach the sign-in page now. The demo and the first"
            " lead are for this machine alone. Passwords travel unencrypted unless TLS is put in front.",
            file=sys.stderr,
        )
    own = {host, *names, *(() if _is_loopback(host) else _own_names())}
    application = build_application(records, own)
    print(f"Kerfsmith: http://{host}:{port}/  (records in {records}; stop with Ctrl-C)", flush=True)
    uvicorn.run(application, host=host, port=port, log_level="warning", server_header=False)
    return 0


def _is_loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def _own_names() -> tuple[str, ...]:
    """What this machine calls itself, as others in its network may write it."""
    name = socket.gethostname()
    return (name, f"{name}.local", socket.getfqdn())
