"""Saws: what each holds, drives and reaches."""
