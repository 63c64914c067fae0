"""Engines behind the nesting problem: each takes a plain problem and hands back a plan with its proof."""
