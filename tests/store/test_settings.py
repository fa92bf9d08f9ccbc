"""`notebook.toml` as a merge may leave it."""


def test_settings_that_two_makers_set_differently_are_no_unknown_key(store, put):
    put("notebook.toml", 'format = 1\ntimezone = "UTC"\ntitle = "A"\n[disputed]\ntitle = ["A", "B"]\n')
    assert not store.problems
    assert store.settings.title == "A"
