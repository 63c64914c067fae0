"""The demo shop: a scenario of our own with its order book and rack."""
