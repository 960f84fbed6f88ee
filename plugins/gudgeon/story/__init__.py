"""From an instalment to what is read: the one way to its HTML, for site, feed and book, and what its numbers say."""
