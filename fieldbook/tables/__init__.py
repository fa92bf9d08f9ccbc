"""Published tables that ship with the program, and their loader."""
