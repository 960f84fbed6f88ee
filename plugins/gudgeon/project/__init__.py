"""The one door: where a project is and how it is set, its revisions in git, and writing safely."""
