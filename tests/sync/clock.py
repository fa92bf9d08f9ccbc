"""A clock for git: what is kept bears the time it is set to."""

from datetime import datetime

from fieldbook.sync.git import Git


class Clock:
    """The time that git writes into what it keeps; all else of git is as it is."""

    def __init__(self, monkeypatch) -> None:
        self.now = datetime.fromisoformat("2026-08-01T12:00:00+00:00")
        real = Git._environment

        def environment(git: Git) -> dict[str, str]:
            at = self.now.isoformat()
            return {**real(git), "GIT_AUTHOR_DATE": at, "GIT_COMMITTER_DATE": at}

        monkeypatch.setattr(Git, "_environment", environment)

    def set(self, text: str) -> None:
        self.now = datetime.fromisoformat(f"{text}+00:00")
