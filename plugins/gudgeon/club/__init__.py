"""A club's own repository: what stands in it when it is begun, and which tool it is built with."""
