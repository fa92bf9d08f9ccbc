"""`fieldbook share [URL]`: switches sharing on, or joins a notebook from an empty folder."""

from __future__ import annotations

import argparse

from fieldbook.cli.call import Call
from fieldbook.cli.sync import asking, let_go, say, sync_of


def arguments(parser: argparse.ArgumentParser) -> None:
    """The words it takes."""
    parser.add_argument(
        "url",
        nargs="?",
        metavar="URL",
        help="https, ssh or a folder; without it the history is kept here alone",
    )
    let_go(parser)


def run(call: Call, given: argparse.Namespace) -> int:
    """Set up this side, then exchange."""
    from fieldbook.store.names import holds_notebook
    from fieldbook.sync.sharing import checked_url

    url = checked_url(given.url) if given.url else None
    if url and not holds_notebook(str(call.folder)):
        from fieldbook.sync.joining import join

        return say(call, join(call.folder, url))
    sync = sync_of(call)
    return say(call, asking(lambda is_meant: sync.share(url, is_meant), given.let_go))
