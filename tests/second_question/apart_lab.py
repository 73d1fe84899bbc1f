"""Serve a lab that asks the tests' own question too; run as a program, with what it needs."""

from argparse import ArgumentParser
from pathlib import Path

from apart.question import APART_PLUGIN

from crustbreak.cli.link_file import link_in
from crustbreak.config import Settings
from crustbreak.services.devices.host_login import Links
from crustbreak.web.server import open_doors
from crustbreak.wiring import SHIPPED, open_lab


def main() -> None:
    """Open the lab as `crustbreak run` does, with one question more."""
    asked = ArgumentParser()
    for name in ("folder", "name", "host-port", "phone-port", "address"):
        asked.add_argument(f"--{name}", required=True)
    said = asked.parse_args()
    settings = Settings(
        folder=Path(said.folder),
        lab_name=said.name,
        host_port=int(said.host_port),
        phone_port=int(said.phone_port),
        phone_address=said.address,
    )
    with (
        open_lab(settings.folder, name=said.name, plugins=(*SHIPPED, APART_PLUGIN)) as lab,
        link_in(settings.link_file) as keep,
    ):
        links = Links(lab.randomness.secret, lambda link: keep(settings.link_url(link)))
        open_doors(lab, settings, links, lambda: None)


if __name__ == "__main__":
    main()
