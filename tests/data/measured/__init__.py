"""Small tables that other people measured, for tests. A blank is not known, never zero."""

import csv
from pathlib import Path

FOLDER = Path(__file__).parent


def rows(name: str) -> list[dict[str, str]]:
    """Rows of one table; lines that begin with # name its source."""
    lines = (FOLDER / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def column(name: str, field: str, **where: str) -> list[float]:
    """Numbers of one column, blanks left out, of the rows whose fields are as asked."""
    wanted = [row for row in rows(name) if all(row[key] == value for key, value in where.items())]
    return [float(row[field]) for row in wanted if row[field]]
