"""Two listeners in one process: the host's on loopback, the phones' on the network."""

import asyncio
import gc
from collections.abc import Callable

import uvicorn
from fastapi import FastAPI

from crustbreak.config import Settings
from crustbreak.core.errors import CrustbreakError
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.host_login import Links
from crustbreak.web.host.app import host_app
from crustbreak.web.phone.app import phone_app

# An open stream would otherwise keep the server alive for ever after a stop.
STOP_WITHIN_S = 2


class PortTaken(CrustbreakError):
    """Something else listens where the lab wants to."""


def open_doors(lab: Lab, settings: Settings, links: Links, announce: Callable[[], None]) -> None:
    """Serve both apps until stopped; `announce` is called once both listen."""
    host = _server(host_app(lab, settings, links), "127.0.0.1", settings.host_port)
    phones = _server(phone_app(lab, settings), "0.0.0.0", settings.phone_port)
    # What is there now stays: looked through again and again it would hold up everybody.
    gc.collect()
    gc.freeze()
    asyncio.run(_serve((host, phones), announce))


def _server(app: FastAPI, address: str, port: int) -> uvicorn.Server:
    return uvicorn.Server(
        uvicorn.Config(
            app,
            host=address,
            port=port,
            log_level="warning",
            access_log=False,
            # An answer need not tell which server gave it.
            server_header=False,
            # Nothing stands in front of the lab: who asks says nothing about from where.
            proxy_headers=False,
            ws="none",
            timeout_graceful_shutdown=STOP_WITHIN_S,
        )
    )


async def _serve(servers: tuple[uvicorn.Server, ...], announce: Callable[[], None]) -> None:
    running = [asyncio.create_task(_run(server)) for server in servers]
    while not all(server.started for server in servers):
        if any(task.done() for task in running):
            break
        await asyncio.sleep(0.02)
    else:
        announce()
    await asyncio.wait(running, return_when=asyncio.FIRST_COMPLETED)
    for server in servers:
        server.should_exit = True
    for finished in await asyncio.gather(*running, return_exceptions=True):
        if isinstance(finished, CrustbreakError):
            raise finished


async def _run(server: uvicorn.Server) -> None:
    try:
        await server.serve()
    except SystemExit as stop:
        # uvicorn leaves by SystemExit when it cannot bind, after logging why.
        raise PortTaken(
            f"Port {server.config.port} is taken.",
            hint="Stop what listens there, or give --host-port and --phone-port.",
        ) from stop
