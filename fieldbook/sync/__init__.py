"""Git beside the folder, merging by meaning."""
