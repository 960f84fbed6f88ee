"""What works together: fits, the ranges wanted, rules of thumb, hot clearances, rings."""
