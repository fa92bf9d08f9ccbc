"""The observation line: reading it, reading it back, and its TOML text."""
