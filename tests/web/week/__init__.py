"""The week over real records: its page, its forms, its API, and a browser."""
