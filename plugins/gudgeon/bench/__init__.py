"""The bench: what a build has to know to answer one reading at the machine, as plain data, and the answer itself."""
