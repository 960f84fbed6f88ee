"""Findings to Markdown, HTML and SVG text. Nothing here knows how a number was computed."""
