"""Two versions of the tool over one club: what each works out, what that moves, and why."""
