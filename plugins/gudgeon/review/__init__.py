"""Review: what moved in numbers between two revisions of a club. It gives no verdict; a person does."""
