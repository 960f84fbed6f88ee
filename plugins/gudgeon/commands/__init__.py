"""The commands of the `gudgeon` program: each hands over to the room that does the work."""
