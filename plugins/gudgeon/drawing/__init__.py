"""Drawings as inline SVG: what all drawings of the site share. It knows nothing of findings; what is drawn stands in pages/drawn/."""
