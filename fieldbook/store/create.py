"""New entries, from a template with a remark on every field, and new notebooks."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from typing import Any

from fieldbook.errors import FieldbookError, WrongUse
from fieldbook.lines.toml_text import text_value, value_text
from fieldbook.quantities import FIELDS
from fieldbook.records import KINDS, Settings, Spec, specs
from fieldbook.store import durable, names, parsing
from fieldbook.store.change import Change, meant
from fieldbook.store.edit import path_of
from fieldbook.store.lock import Lock
from fieldbook.store.typed import NO_SETTING, change_of
from fieldbook.store.values import Setting
from fieldbook.store.zones import FORMAT, zone_of

_GENERAL = ("title", "maker", "note", "tags", "private")


def create(
    notebook: str, kind: str, name: str, fields: Mapping[str, object], setting: Setting = NO_SETTING
) -> str:
    """Make an entry with the fields given and give its address.

    Raises:
        FieldbookError: the name is taken, or a field cannot hold what was given.
    """
    record = KINDS.get(kind)
    if record is None:
        raise WrongUse(f"There is no kind {names.shown(kind)}; there are {', '.join(KINDS)}.")
    if not names.is_name(name):
        better = names.suggested_name(name)
        hint = f"The nearest that is one: {better}." if better else names.NAME_RULE
        raise WrongUse(f'"{names.shown(name)}" cannot be the name of an entry. {hint}')
    changes = [change_of(record, field, value, setting) for field, value in fields.items()]
    address = f"{record.folder}/{name}"
    data = meant({}, changes)
    text = template(record, data, f"{address}.toml")
    _prove(text, data)
    path = path_of(notebook, address)
    with Lock(notebook):
        durable.clear_left_behind(os.path.dirname(path))
        durable.create_file(path, text.encode(), f"{address}.toml")
    return address


def _prove(text: str, data: dict[str, Any]) -> None:
    if parsing.parse_text(text) != data:
        raise FieldbookError("The fields cannot be written as TOML. Nothing was made.")


def start(folder: str, fields: Mapping[str, object]) -> None:
    """Make a notebook: its folders and `notebook.toml`."""
    if zone_of(fields.get("timezone", "UTC")) is None:
        raise WrongUse(
            f"{names.shown(str(fields['timezone']))} is no time zone known here; "
            "write one such as Europe/Berlin or America/Chicago."
        )
    typed = {"timezone": "UTC", **fields}
    changes = [change_of(Settings, field, value, NO_SETTING) for field, value in typed.items()]
    data = meant({}, [Change(("format",), FORMAT), *changes])
    text = template(Settings, data, names.SETTINGS_FILE)
    _prove(text, data)
    folder = os.path.realpath(folder)
    try:
        os.makedirs(folder, exist_ok=True)
    except OSError as error:
        raise durable.why_not(error, folder) from error
    durable.create_file(
        os.path.join(folder, names.SETTINGS_FILE), text.encode(), names.SETTINGS_FILE
    )
    _make_folders(folder)


def _make_folders(folder: str) -> None:
    try:
        for name in names.FOLDERS:
            os.makedirs(os.path.join(folder, name), exist_ok=True)
        ignored = os.path.join(folder, ".gitignore")
        if not os.path.lexists(ignored):
            durable.create_file(ignored, names.IGNORED.encode(), ".gitignore")
    except OSError as error:
        raise durable.why_not(error, folder) from error


def template(record: type, data: Mapping[str, Any], file: str) -> str:
    """Give the text of a new file: what is known as it is, all else as remarks to fill in."""
    about = (record.__doc__ or "").strip().split("\n")[0].replace("`", "")
    lines = [
        f"# {file}: {about}",
        "# To use a line, take away the # before it and put what you know in place of the dots.",
        '# An amount has its unit: "240 mm", "9 1/2 in", "5 lb 2 oz", "~4 kg", "90 to 96 mm".',
        "",
    ]
    all_specs = specs(record)
    flat = {key: spec for key, spec in all_specs.items() if not _is_section(spec)}
    for key in sorted(flat, key=lambda key: _rank(key, flat[key])):
        lines += _flat_lines(key, flat[key], data)
    for key, spec in all_specs.items():
        if _is_section(spec):
            lines += ["", *_section_lines((key,), spec, data.get(key))]
    return "\n".join(lines) + "\n"


def _is_section(spec: Spec) -> bool:
    return spec.holds in ("table", "rows", "measures")


def _rank(key: str, spec: Spec) -> int:
    if spec.required:
        return 0
    return 2 if key in _GENERAL else 1


def _flat_lines(key: str, spec: Spec, data: Mapping[str, Any]) -> Iterator[str]:
    if key in data:
        yield f"{key} = {value_text(data[key])}"
    elif spec.holds == "items":
        yield f"# {key} = [{_blank(spec)}]  # {_remark(spec)}; one {{ }} for each"
        yield from _field_remarks(spec)
    else:
        yield f"# {key} = {_blank(spec)}  # {_remark(spec)}"


def _remark(spec: Spec) -> str:
    """Say what a field holds, and which words or what form it takes."""
    choices = f": {', '.join(spec.words)}" if spec.words else ""
    form = _FORMS.get(spec.holds, "")
    return f"{spec.help}{choices}{form}{'; needed' if spec.required else ''}"


_FORMS = {
    "count": " (a number alone)",
    "number": " (a number alone)",
    "moment": ' (2026-05-03 or "2026-05-03 07:40")',
    "texts": ' (["one", "other"])',
}


def _section_lines(path: tuple[str, ...], spec: Spec, data: Any) -> Iterator[str]:
    live = isinstance(data, dict)
    yield f"{'' if live else '# '}[{'.'.join(path)}]  # {spec.help}"
    known = data if live else {}
    if spec.holds == "table":
        assert spec.of is not None
        inner = specs(spec.of)
        for key, part in inner.items():
            if not _is_section(part) or part.holds == "table":
                yield from _flat_lines(key, part, known)
        for key, part in inner.items():
            if part.holds == "rows":
                yield ""
                yield from _section_lines((*path, key), part, known.get(key))
        return
    for name, row in known.items():
        yield f"{text_value(name)} = {value_text(row)}"
    if not known:
        name = "barrow" if spec.holds == "measures" else '"1"'
        yield f"# {name} = {_blank(spec)}"
    yield from _field_remarks(spec)


def _field_remarks(spec: Spec) -> Iterator[str]:
    """Say what each row or item may have: too much to stand in one line."""
    for key, part in specs(spec.of).items() if spec.of else ():
        yield f"#   {key}: {_remark(part)}"


def _blank(spec: Spec) -> str:
    """Give a value to be filled in: one that is not filled in is pointed out, never believed."""
    if spec.holds in ("amount", "amounts", "measures"):
        field = FIELDS.get(spec.dimensions[0])
        return f'"… {field.likely if field else "EUR"}"'
    if spec.of is not None:
        parts = list(specs(spec.of).items())[:3]
        return "{ " + ", ".join(f"{key} = {_blank(part)}" for key, part in parts) + " }"
    return '["…"]' if spec.holds == "texts" else '"…"'
