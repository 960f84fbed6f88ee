"""Every value of the findings, with its address: where two builds of numbers differ, and which record moved what."""
