"""From each format of the records to the next: one module a step, on the text, so that comments, order and digits stay."""
