"""Open data: records and findings in formats that outlive this program."""
