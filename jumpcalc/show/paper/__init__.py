"""Drawings and sheets: each takes a view and puts lines, areas, dots and words on a sheet."""
