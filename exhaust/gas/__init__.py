"""Burnt gas from the fuel's atoms and lambda; its properties."""
