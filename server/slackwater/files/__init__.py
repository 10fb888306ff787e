"""Formats: catchments read from folders, GeoPackages and workbooks, and written to them."""
