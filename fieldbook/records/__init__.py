"""What an entry holds."""
