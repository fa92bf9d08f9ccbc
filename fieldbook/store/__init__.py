"""A folder of TOML entries, read and written."""
