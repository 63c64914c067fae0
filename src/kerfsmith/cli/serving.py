"""`kerfsmith serve`."""

import ipaddress
import sys

from kerfsmith.wiring.application import build_application


def serve(records: str, host: str, port: int) -> int:
    """Open the records and serve the pages until stopped."""
    import uvicorn

    if not _is_loopback(host):
        print(
            f"kerfsmith: listening on {host}: whoever reaches this machine can read and change the records",
            file=sys.stderr,
        )
    application = build_application(records)
    print(f"Kerfsmith: http://{host}:{port}/  (records in {records}; stop with Ctrl-C)", flush=True)
    uvicorn.run(application, host=host, port=port, log_level="warning", server_header=False)
    return 0


def _is_loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"
