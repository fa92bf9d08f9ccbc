"""The drawing of the rooms in DEVELOPERS.md is the rule: code imports what it shows, no more."""

import ast
import re
from pathlib import Path

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "fieldbook"


def drawn() -> dict[str, set[str]]:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    block = re.search(r"```module-map\n(.*?)```", text, re.DOTALL)
    assert block, "DEVELOPERS.md has no module-map block"
    rooms = {}
    for line in block[1].splitlines():
        room, _, rest = line.partition(":")
        rooms[room.strip()] = set(rest.partition("#")[0].split())
    return rooms


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imports(path: Path) -> set[str]:
    """Every module a file imports, anywhere in it, as dotted names."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: write imports in full"
            found.add(node.module or "")
            if node.module == "fieldbook":
                found |= {f"fieldbook.{alias.name}" for alias in node.names}
    return found


def sources() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def test_every_room_is_drawn_and_every_drawn_room_exists():
    rooms = {room_of(path) for path in sources()} - {"__init__", "__main__"}
    assert rooms == set(drawn())


def test_rooms_import_only_what_the_drawing_shows():
    rooms = drawn()
    strays = []
    for path in sources():
        room = room_of(path)
        if room in ("__init__", "__main__"):
            continue
        for module in imports(path):
            parts = module.split(".")
            if parts[0] != "fieldbook" or len(parts) == 1:
                continue
            if parts[1] not in rooms[room] | {room, "__version__"}:
                strays.append(f"{path.relative_to(ROOT)} imports {module}")
    assert not strays, "\n".join(strays)


def test_the_drawing_has_no_circle():
    rooms = drawn()
    done: list[str] = []
    while rooms:
        free = [room for room, needs in rooms.items() if needs <= set(done)]
        assert free, f"these rooms need each other: {sorted(rooms)}"
        done += free
        rooms = {room: needs for room, needs in rooms.items() if room not in free}


HOMES = {"tomlkit": "store", "git": "sync", "textual": "tui", "rich": "tui", "pint": "quantities"}


def test_each_library_is_named_in_one_room_only():
    strays = [
        f"{path.relative_to(ROOT)} imports {module}"
        for path in sources()
        for module in imports(path)
        if (home := HOMES.get(module.split(".")[0])) and room_of(path) != home
    ]
    assert not strays, "\n".join(strays)


def test_physics_and_advice_read_no_file_clock_or_terminal():
    outside = {"os", "pathlib", "io", "subprocess", "socket", "shutil", "time", "sys", "tempfile"}
    strays = [
        f"{path.relative_to(ROOT)} imports {module}"
        for path in sources()
        if room_of(path) in ("calc", "advice")
        for module in imports(path) & outside
    ]
    assert not strays, "\n".join(strays)


def test_calc_and_advice_never_ask_for_the_time():
    asked = re.compile(r"\b(datetime\.now|datetime\.today|date\.today|utcnow)\b")
    strays = [
        str(path.relative_to(ROOT))
        for path in sources()
        if room_of(path) in ("calc", "advice", "records", "quantities")
        and asked.search(path.read_text(encoding="utf-8"))
    ]
    assert not strays
