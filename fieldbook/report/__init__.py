"""Wording and tables that the command line and the screen share."""
