"""Lengths, routes and bundles: numbers in, numbers out."""
