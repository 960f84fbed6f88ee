"""What other programs follow of a site: feeds, the list of its pages, what a shared link shows, old addresses."""
