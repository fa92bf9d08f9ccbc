"""The body: what is drawn anew when a page changes, and how much lies below."""

from textual.geometry import Region

from fieldbook.tui.rows import Item, Page, plain


def page(*texts, items=()):
    rows = tuple(
        plain(f" {text}", item=n if n < len(items) else -1) for n, text in enumerate(texts)
    )
    return Page("a page", rows, tuple(Item(key) for key in items))


async def test_only_rows_that_changed_are_drawn_anew(screen, driven, monkeypatch):
    async with driven(screen) as pilot:
        lines = pilot.app.lines
        lines.show(page("one", "two", "three", "four"), afresh=True)
        await pilot.pilot.pause()
        drawn = []
        monkeypatch.setattr(lines, "refresh", lambda *regions: drawn.extend(regions))
        lines.show(page("one", "zwei", "three"), afresh=False)
        width = lines.size.width
        assert drawn == [Region(0, 1, width, 1), Region(0, 3, width, 1)]
        assert [lines.render_line(y).text.strip() for y in range(4)] == ["one", "zwei", "three", ""]


async def test_a_choice_that_moves_to_another_row_is_drawn_in_both(screen, driven, monkeypatch):
    async with driven(screen) as pilot:
        lines = pilot.app.lines
        lines.show(page("one", "two", "three", items=("a", "b", "c")), afresh=True)
        lines.move(1)
        await pilot.pilot.pause()
        drawn = []
        monkeypatch.setattr(lines, "refresh", lambda *regions: drawn.extend(regions))
        lines.show(page("one", "two", "three", items=("a", "x", "b")), afresh=False)
        assert {region.y for region in drawn} == {1, 2}
        assert lines.item.key == "b"


async def test_what_lies_below_is_counted_in_things_to_choose_or_in_lines(screen, driven):
    async with driven(screen) as pilot:
        lines, many = pilot.app.lines, [str(n) for n in range(40)]
        height = lines.size.height
        lines.show(page(*many, items=many), afresh=True)
        assert lines.more_below == f"{40 - height} more"
        lines.show(page(*many), afresh=True)
        assert lines.more_below == f"{40 - height} lines more"
        lines.show(page("one"), afresh=True)
        assert lines.more_below == ""
        await pilot.settle()


async def test_a_page_that_grows_is_drawn_whole(screen, driven):
    async with driven(screen) as pilot:
        lines = pilot.app.lines
        lines.show(page("one"), afresh=True)
        await pilot.pilot.pause()
        lines.show(page(*[str(n) for n in range(60)]), afresh=False)
        await pilot.pilot.pause()
        assert lines.max_scroll_y == 60 - lines.size.height
        shown = [lines.render_line(y).text.strip() for y in range(lines.size.height)]
        assert shown == [str(n) for n in range(lines.size.height)]
