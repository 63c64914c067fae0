"""The plain engine: one flow through one graph, solved as a program in whole numbers."""
