"""Rules, cautions, materials and part families that travel from club to club, each in one file with its sources."""
