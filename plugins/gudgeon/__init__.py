"""Gudgeon: engine builds kept as files in git, assessed and rendered while a site builds.

The data goes one way: records -> assess -> pages -> plugin. See DEVELOPERS.md.
"""
