"""Questions over the data packages of many builds of many clubs."""
