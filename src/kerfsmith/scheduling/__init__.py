"""Scheduling: runs laid on saws over shifts, with the proof of how good the week is and a referee of its
own.
"""
