"""`notebook.toml` as a merge may leave it."""


def test_settings_that_two_makers_set_differently_are_no_unknown_key(store, put):
    head = 'format = 1\ntimezone = "UTC"\ntitle = "A"\n'
    put("notebook.toml", head + '[disputed]\ntitle = ["A", "B"]\n')
    assert not store.problems
    assert store.settings.title == "A"
