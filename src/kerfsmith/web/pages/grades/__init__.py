"""Grades: what is known about cutting each, figure by figure."""
