"""Drawings of the site, one a module: findings and records in, markup out; None where there is nothing to draw."""
