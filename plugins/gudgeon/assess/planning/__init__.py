"""What is left to do: operations, the next cut, the forecast."""
