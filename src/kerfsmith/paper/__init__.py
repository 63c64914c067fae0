"""Printed paper of the saw room: tickets and labels, from values to PDF bytes, with codes a scanner reads."""
