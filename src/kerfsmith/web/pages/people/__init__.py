"""People of the shop: who is there, what each may do, and where each is signed in."""
