"""A field notebook for people who fire bricks from the clay they dig."""

__version__ = "0.1.0"
