"""`fieldbook share [URL]`: switches sharing on for this notebook."""

from __future__ import annotations

import argparse

from fieldbook.cli.call import Call


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument(
        "url",
        nargs="?",
        metavar="URL",
        help="https, ssh or a folder; without it the history is kept here alone",
    )


def run(call: Call, given: argparse.Namespace) -> int:
    """Set up this side, then exchange."""
    from fieldbook.cli.sync import say
    from fieldbook.sync.sharing import checked_url
    from fieldbook.sync.syncing import Sync

    url = checked_url(given.url) if given.url else None
    return say(call, Sync(call.store.folder, call.store.settings.maker).share(url))
