"""What was measured: what became of each reading, sizes at 20 °C, form, stock, instruments found off."""
