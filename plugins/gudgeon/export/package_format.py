"""The format of a data package: who writes one and who reads one need the same word, and the reader nothing else."""

DATA_FORMAT = "gudgeon-data-1"
