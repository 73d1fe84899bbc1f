"""The front door: which edge to open."""

import sys

from crustbreak.cli.commands import build_commands, print_error
from crustbreak.core.errors import CrustbreakError
from crustbreak.demo.lab import fill_demo
from crustbreak.web.server import open_doors


def main() -> None:
    """Run the command line; an expected error takes two lines, not a trace."""
    commands = build_commands(serve=open_doors, fill_demo=fill_demo)
    try:
        commands()
    except CrustbreakError as error:
        print_error(error)
        sys.exit(1)


if __name__ == "__main__":
    main()
